"""Printed numbers, with citation; no code."""
