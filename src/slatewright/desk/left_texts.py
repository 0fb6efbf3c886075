"""What people call the texts in which a name stands: fill files, the ledger, standards."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from slatewright.desk.fill.keeping import list_fills
from slatewright.desk.ledger.keeping import Part
from slatewright.store.naming import NamedIn
from slatewright.store.session import Session
from slatewright.store.settings import HOUSE_RULES
from slatewright.store.standards import list_standards

_FILL: Final = re.compile(r"fill-(\d+)(-ticks)?")
_LEDGER: Final = {
    f"ledger-{Part.RATES}": "the rates of the ledger",
    f"ledger-{Part.WAYS}": "the comparison of the ledger",
    f"ledger-{Part.QUOTE}": "the quote of the ledger",
}


def other_texts(session: Session, named: NamedIn) -> tuple[str, ...]:
    """Return the texts that have a name in them, plans and courses left out, as people call them.

    Parameters
    ----------
    session
        A session.
    named
        Where the name stands.
    """
    return tuple(dict.fromkeys((*_standards(session, named), *_settings(session, named))))


def _standards(session: Session, named: NamedIn) -> Iterator[str]:
    titles = {one.id: one.title for one in list_standards(session)}
    for number in named.standards:
        yield f"the standard “{titles.get(number, number)}”"


def _settings(session: Session, named: NamedIn) -> Iterator[str]:
    titles = {fill.number: fill.title for fill in list_fills(session)}
    for name in named.settings:
        if found := _FILL.fullmatch(name):
            number = int(found[1])
            yield f"fill file {number}, “{titles.get(number, '')}”" + (
                ", what was ticked off in it" if found[2] else ""
            )
        elif name == HOUSE_RULES:
            yield "the house rules"
        else:
            yield _LEDGER.get(name, f"what pages remember as '{name}'")
