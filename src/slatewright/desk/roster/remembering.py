"""How the columns of logbooks are read: remembered by their header, and for each logbook."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.mapping import Mapping
from slatewright.store.session import Session
from slatewright.store.settings import get_setting, save_setting

_BY_HEADER: Final = "logbook-columns-"
_BY_LOGBOOK: Final = "logbook-read-"
_KEY_LETTERS: Final = 40
"""Of the hash: the name of a setting has 64 letters at most."""


def remember(session: Session, mapping: Mapping, logbook_id: int, *, now: datetime) -> None:
    """Keep how a logbook was read: for its rows set aside, and for the next file like it.

    Parameters
    ----------
    session
        A session that writes.
    mapping
        How its columns were read.
    logbook_id
        The logbook.
    now
        The moment.
    """
    text = json.dumps(mapping.to_dict(), ensure_ascii=False)
    for name in (_by_header(mapping.key), f"{_BY_LOGBOOK}{logbook_id}"):
        kept = get_setting(session, name)
        save_setting(session, name, 0 if kept is None else kept.version, text, now=now)


def remembered(session: Session, key: str) -> Mapping | None:
    """Return how a logbook with a header was read the last time; None if there was none.

    Parameters
    ----------
    session
        A session.
    key
        The key of the header.
    """
    return _mapping(session, _by_header(key))


def mapping_of(session: Session, logbook_id: int) -> Mapping | None:
    """Return how a logbook was read; None for UDDF, which needs no columns.

    Parameters
    ----------
    session
        A session.
    logbook_id
        The logbook.
    """
    return _mapping(session, f"{_BY_LOGBOOK}{logbook_id}")


def _by_header(key: str) -> str:
    return f"{_BY_HEADER}{key[:_KEY_LETTERS]}"


def _mapping(session: Session, name: str) -> Mapping | None:
    kept = get_setting(session, name)
    if kept is None:
        return None
    try:
        return Mapping.from_dict(json.loads(kept.value))
    except (ValueError, InputError):  # from another version of the program: it is asked again
        return None
