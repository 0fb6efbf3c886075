"""The clock: the only place of the desk that reads it."""

from __future__ import annotations

import time
from datetime import date

from slatewright.store.clock import now_utc

__all__ = ["now_utc", "seconds", "today_here"]


def today_here() -> date:
    """Return the day that it is on this machine."""
    return now_utc().astimezone().date()


def seconds() -> float:
    """Return seconds that only ever grow, for waits [s]."""
    return time.monotonic()
