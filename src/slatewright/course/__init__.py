"""The course: who is ready, how it builds up, what was shown."""
