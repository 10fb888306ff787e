"""Slackwater: which river offtakes to screen first, so that pumps and channels stop taking fish."""

__version__ = "0.1.0"

MODEL_VERSION = "1"
"""Changes whenever the same data would give other numbers; every result carries it."""
