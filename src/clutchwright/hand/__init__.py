"""What pull a hand can do, and for how long: norms, span, posture, endurance, the riding day; SI units.

Not medical advice. No published study multiplies all the factors used here, so the product is an assumption.
"""
