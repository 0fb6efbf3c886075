"""Fill files that come with the program, with their price lists and plans."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib.resources import files
from pathlib import PurePosixPath
from typing import Final

from slatewright.desk.exchange import bring_in_example
from slatewright.desk.fill.keeping import FillText
from slatewright.errors import InputError
from slatewright.fill.fillfile import SCHEMA
from slatewright.store.plans import get_plan, list_plans
from slatewright.store.session import Session

_FOLDER: Final = "fill-room"


@dataclass(frozen=True, slots=True)
class FillExample:
    """A fill file that comes with the program.

    Parameters
    ----------
    name
        Its file.
    title
        Its title.
    plan
        The example plan that it is for, as ``build-up-week/6-the-wall.toml``; empty if none.
    """

    name: str
    title: str
    plan: str


@cache
def fill_examples() -> tuple[FillExample, ...]:
    """Return the fill files that come with the program, by file."""
    found = []
    for name, text in _texts().items():
        told = tomllib.loads(text)
        if told["schema"] == SCHEMA:
            plan = str(told.get("plan", ""))
            found.append(FillExample(name, str(told["title"]), plan.removeprefix("../")))
    return tuple(found)


def example_written(session: Session, name: str, *, now: datetime) -> FillText:
    """Return an example with its price list and its plan, which is brought in if it is not there.

    Parameters
    ----------
    session
        A session that writes.
    name
        The example.
    now
        The moment.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    example = next((one for one in fill_examples() if one.name == name), None)
    if example is None:
        raise InputError(f"there is no example '{name}'", right="one of those in the list")
    text = _texts()[name]
    listed = tomllib.loads(text).get("room", {}).get("prices", "")
    prices = _texts().get(listed, "")
    return FillText(text, prices, _plan_of(session, example.plan, now=now))


def _plan_of(session: Session, name: str, *, now: datetime) -> int | None:
    if not name:
        return None
    path = PurePosixPath(name)
    root = files("slatewright.data").joinpath("examples")
    text = root.joinpath(path.parent.name).joinpath(path.name).read_text("utf-8")
    for entry in list_plans(session):
        if get_plan(session, entry.id).text == text:
            return entry.id
    return bring_in_example(session, name, now=now).id


@cache
def _texts() -> dict[str, str]:
    folder = files("slatewright.data").joinpath("examples").joinpath(_FOLDER)
    entries = sorted(folder.iterdir(), key=lambda entry: entry.name)
    return {
        entry.name: entry.read_text("utf-8") for entry in entries if entry.name.endswith(".toml")
    }
