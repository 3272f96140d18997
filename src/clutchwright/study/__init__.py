"""What is not known for sure, and what it does to the answer."""
