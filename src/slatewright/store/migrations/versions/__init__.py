"""The steps, each named after its number."""
