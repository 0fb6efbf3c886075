"""Tissue model, ascent, oxygen exposure, and the second check of all of it."""
