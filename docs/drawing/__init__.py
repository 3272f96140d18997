"""What `docs/drawings.py` draws with, and one module per part of the chain."""
