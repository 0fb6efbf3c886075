"""Slatewright plans hypoxic-trimix dives for the instructor who leads them."""

__version__ = "0.1.0"
