"""What `docs.drawings` draws with, and one module per part of the chain."""
