"""Mixtures and their limits, pressure under water, units."""
