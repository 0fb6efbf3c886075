"""Rows of plans: found, held against what a window has seen, changed."""

from __future__ import annotations

import tomllib
from datetime import datetime

from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem
from slatewright.store.columns import LONGEST_LINE
from slatewright.store.faults import StaleRecord
from slatewright.store.plan_records import PlanEntry, PlanStatus, SavedPlan
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import PlanRow


def entry_of(row: PlanRow) -> PlanEntry:
    """Return the entry of a row.

    Parameters
    ----------
    row
        The row; its text is not touched.
    """
    units, status = UnitSystem(row.units), PlanStatus(row.status)
    return record_of(PlanEntry, row, units=units, status=status)


def saved_plan(row: PlanRow) -> SavedPlan:
    """Return the record of a row."""
    return record_of(SavedPlan, row, units=UnitSystem(row.units), status=PlanStatus(row.status))


def kept_plan(session: Session, plan_id: int) -> PlanRow:
    """Return the row of a plan that is not in the trash."""
    row = row_of(session, PlanRow, plan_id, "plan")
    if row.trashed_at is not None:
        raise InputError(f"the plan '{row.title}' is in the trash", right="take it out first")
    return row


def current_plan(session: Session, plan_id: int, version: int) -> PlanRow:
    """Return the row of a plan that is as the person saw it, and not in the trash."""
    row = row_of(session, PlanRow, plan_id, "plan")
    if row.version != version:
        raise StaleRecord(
            "plan", given=version, version=row.version, text=row.text, theirs=saved_plan(row)
        )
    return kept_plan(session, plan_id)


def changed_plan(session: Session, row: PlanRow, now: datetime, **values: object) -> SavedPlan:
    """Change what differs, and return the record; the version counts on if anything did."""
    for name, value in values.items():
        if getattr(row, name) != value:
            setattr(row, name, value)
            row.changed_at = now
    session.flush()
    return saved_plan(row)


def headline(text: str) -> tuple[str, UnitSystem | None]:
    """Return title and units as far as the text says them; it may have any faults."""
    try:
        raw = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return "", None
    title, units = raw.get("title"), raw.get("units")
    plain = "".join(c for c in title if c.isprintable()) if isinstance(title, str) else ""
    return (
        plain.strip()[:LONGEST_LINE],
        UnitSystem(units) if isinstance(units, str) and units in set(UnitSystem) else None,
    )
