"""The clock: the only place of the store that reads it."""

from __future__ import annotations

from datetime import UTC, datetime


def now_utc() -> datetime:
    """Return this moment, in universal time."""
    return datetime.now(UTC)
