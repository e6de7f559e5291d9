"""Reads, works out, checks, repairs and writes the tab of guitar lessons."""

__version__ = "0.1.0"
