"""What this machine has: the only thing about it that the solver asks, and no result depends on."""

from __future__ import annotations

import os


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
