"""Settings: texts by name, the house rules of the workspace first among them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store.columns import checked_text
from slatewright.store.faults import StaleRecord
from slatewright.store.records import record_of
from slatewright.store.schema import SettingRow

HOUSE_RULES: Final = "house-rules"
"""The setting that holds the workspace's house rules, as the TOML of their file."""
_NAME: Final = re.compile(r"[a-z][a-z0-9-]{0,63}")


@dataclass(frozen=True, slots=True)
class Setting:
    """A setting.

    Parameters
    ----------
    name
        Its name.
    value
        Its text.
    version
        How often it has been saved, counted from 1.
    changed_at
        When it was last saved.
    """

    name: str
    value: str
    version: int
    changed_at: datetime


def get_setting(session: Session, name: str) -> Setting | None:
    """Return a setting, or None if it was never saved.

    Parameters
    ----------
    session
        A session.
    name
        Its name.
    """
    row = session.get(SettingRow, name)
    return None if row is None else record_of(Setting, row)


def save_setting(
    session: Session, name: str, version: int, value: str, *, now: datetime
) -> Setting:
    """Save a setting.

    Parameters
    ----------
    session
        A session that writes.
    name
        Its name: small letters, digits and hyphens.
    version
        The version that the person has seen; 0 if there was none.
    value
        The new text.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that text and version.
    InputError
        If name or text cannot be kept.
    """
    if not _NAME.fullmatch(name):
        raise InputError(
            f"{name!r} is no name of a setting", right=f"a name such as {HOUSE_RULES!r}"
        )
    checked_text(value, name)
    row = session.get(SettingRow, name)
    stored = 0 if row is None else row.version
    if stored != version:
        theirs = None if row is None else record_of(Setting, row)
        raise StaleRecord(
            "setting",
            given=version,
            version=stored,
            text="" if theirs is None else theirs.value,
            theirs=theirs,
        )
    if row is None:
        row = SettingRow(name=name, value=value, changed_at=now)
        session.add(row)
    elif row.value != value:
        row.value, row.changed_at = value, now
    session.flush()
    return record_of(Setting, row)
