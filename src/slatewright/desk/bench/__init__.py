"""The bench: a plan as a sheet that can be edited, and all that follows from it."""
