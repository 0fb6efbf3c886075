"""The parts of the pages of people, their cards and their logbooks."""
