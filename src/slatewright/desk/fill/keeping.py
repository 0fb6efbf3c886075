"""Where fill files live: in the store's settings, each with its version."""

from __future__ import annotations

import json
import tomllib
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any, Final

from slatewright.errors import InputError
from slatewright.store.faults import NoSuchRecord
from slatewright.store.session import Session
from slatewright.store.settings import get_setting, save_setting

LIST: Final = "fill-room"
LONGEST_TEXT: Final = 200_000
_MOST_TITLE: Final = 60
_NONE: Final = "Without a title"


@dataclass(frozen=True, slots=True)
class FillText:
    """What a person has written or laid on.

    Parameters
    ----------
    text
        The fill file.
    prices
        The price list; empty if there is none.
    plan_id
        The plan of the dive that the fills are for; None if none is chosen.
    """

    text: str
    prices: str = ""
    plan_id: int | None = None


@dataclass(frozen=True, slots=True)
class KeptFill:
    """A fill file that is kept.

    Parameters
    ----------
    number
        Its number.
    title
        Its title, as far as one can be read.
    version
        How often it has been saved, counted from 1.
    changed_at
        When it was last saved.
    written
        What it says.
    """

    number: int
    title: str
    version: int
    changed_at: datetime
    written: FillText


def list_fills(session: Session) -> tuple[KeptFill, ...]:
    """Return all fill files, the newest first.

    Parameters
    ----------
    session
        A session.
    """
    return tuple(get_fill(session, number) for number in reversed(_numbers(session)))


def get_fill(session: Session, number: int) -> KeptFill:
    """Return a fill file.

    Parameters
    ----------
    session
        A session.
    number
        Its number.

    Raises
    ------
    NoSuchRecord
        If there is none, or it was removed.
    """
    kept = get_setting(session, _name(number)) if number in _numbers(session) else None
    if kept is None:
        raise NoSuchRecord("fill file", str(number))
    written = written_of(kept.value)
    return KeptFill(number, title_of(written.text), kept.version, kept.changed_at, written)


def keep_fill(session: Session, written: FillText, *, now: datetime) -> KeptFill:
    """Keep a new fill file.

    Parameters
    ----------
    session
        A session that writes.
    written
        What it says; it may have faults, and the page names them.
    now
        The moment.

    Raises
    ------
    InputError
        If a text is too long to be kept.
    """
    listed = get_setting(session, LIST)
    known: dict[str, Any] = {"next": 1, "files": []} if listed is None else json.loads(listed.value)
    number = int(known["next"])
    known["files"].append(number)
    known["next"] = number + 1
    version = 0 if listed is None else listed.version
    save_setting(session, LIST, version, json.dumps(known), now=now)
    save_setting(session, _name(number), 0, _value(written), now=now)
    return get_fill(session, number)


def save_fill(
    session: Session, number: int, version: int, written: FillText, *, now: datetime
) -> KeptFill:
    """Save a fill file.

    Parameters
    ----------
    session
        A session that writes.
    number
        Its number.
    version
        The version that the person has seen.
    written
        What it is to say.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since; its text is the value of the setting, to be read by
        `written_of`.
    NoSuchRecord
        If there is none.
    InputError
        If a text is too long to be kept.
    """
    get_fill(session, number)
    save_setting(session, _name(number), version, _value(written), now=now)
    return get_fill(session, number)


def remove_fill(session: Session, number: int, version: int, *, now: datetime) -> None:
    """Remove a fill file with what was ticked off in it.

    Parameters
    ----------
    session
        A session that writes.
    number
        Its number.
    version
        The version that the person has seen.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since.
    NoSuchRecord
        If there is none.
    """
    get_fill(session, number)
    save_setting(session, _name(number), version, _value(FillText("")), now=now)
    ticked = get_setting(session, ticks_name(number))
    if ticked is not None:
        save_setting(session, ticks_name(number), ticked.version, "{}", now=now)
    listed = get_setting(session, LIST)
    if listed is not None:
        known = json.loads(listed.value)
        known["files"].remove(number)
        save_setting(session, LIST, listed.version, json.dumps(known), now=now)


def written_of(value: str) -> FillText:
    """Return what a setting of ours holds.

    Parameters
    ----------
    value
        Its text.
    """
    return FillText(**json.loads(value))


def title_of(text: str) -> str:
    """Return the title of a text, as far as one can be read.

    Parameters
    ----------
    text
        The text, with faults or without.
    """
    try:
        title: Any = tomllib.loads(text).get("title")
    except (tomllib.TOMLDecodeError, RecursionError):
        title = None
    return title[:_MOST_TITLE] if isinstance(title, str) and title.strip() else _NONE


def ticks_name(number: int) -> str:
    """Return the name of the setting that holds what was ticked off in a file.

    Parameters
    ----------
    number
        The file.
    """
    return f"{_name(number)}-ticks"


def plain(text: str) -> str:
    """Return a text with the line ends of a file, as forms send others.

    Parameters
    ----------
    text
        What a form or a file brought.
    """
    return text.removeprefix("\ufeff").replace("\r\n", "\n")


def with_text(written: FillText, text: str) -> FillText:
    """Return what is written with another text of the fill file.

    Parameters
    ----------
    written
        What was written.
    text
        The other text.
    """
    return replace(written, text=text)


def _name(number: int) -> str:
    return f"fill-{number}"


def _numbers(session: Session) -> list[int]:
    listed = get_setting(session, LIST)
    return [] if listed is None else [int(n) for n in json.loads(listed.value)["files"]]


def _value(written: FillText) -> str:
    for where, text in (("the fill file", written.text), ("the price list", written.prices)):
        if len(text) > LONGEST_TEXT:
            raise InputError(
                "is too long", where=where, right=f"at most {LONGEST_TEXT:,} characters"
            )
    return json.dumps(asdict(written), ensure_ascii=False)
