"""The parts of the course's pages."""
