"""Lets ``python -m clutchwright`` do what ``clutchwright`` does."""

from clutchwright.cli import main

main()
