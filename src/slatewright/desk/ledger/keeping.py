"""Where rates, comparison and quote live: in the store's settings, each with its version."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Final

from slatewright.errors import InputError
from slatewright.store.session import Session
from slatewright.store.settings import get_setting, save_setting

LONGEST_TEXT: Final = 100_000


class Part(StrEnum):
    """One text of the ledger."""

    RATES = "rates"
    WAYS = "ways"
    QUOTE = "quote"


@dataclass(frozen=True, slots=True)
class KeptText:
    """A text of the ledger.

    Parameters
    ----------
    part
        Which.
    text
        What it says.
    version
        How often it has been saved; 0 for the example that comes with the program.
    """

    part: Part
    text: str
    version: int


def ledger_text(session: Session, part: Part) -> KeptText:
    """Return a text of the ledger.

    Parameters
    ----------
    session
        A session.
    part
        Which.
    """
    kept = get_setting(session, f"ledger-{part}")
    if kept is None:
        return KeptText(part, _example(part), 0)
    return KeptText(part, kept.value, kept.version)


def save_ledger_text(
    session: Session, part: Part, version: int, text: str, *, now: datetime
) -> KeptText:
    """Save a text of the ledger.

    Parameters
    ----------
    session
        A session that writes.
    part
        Which.
    version
        The version that the person has seen.
    text
        What it is to say; it may have faults, and the page names them.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since.
    InputError
        If it is too long to be kept.
    """
    if len(text) > LONGEST_TEXT:
        raise InputError("is too long", where=part, right=f"at most {LONGEST_TEXT:,} characters")
    kept = save_setting(session, f"ledger-{part}", version, text, now=now)
    return KeptText(part, kept.value, kept.version)


@cache
def _example(part: Part) -> str:
    folder = files("slatewright.data") / "examples" / "ledger"
    return (folder / f"{part}.toml").read_text("utf-8")
