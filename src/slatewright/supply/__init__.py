"""Cylinders, consumption, reserves, and the proof that there is a way home."""
