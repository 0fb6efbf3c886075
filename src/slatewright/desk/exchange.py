"""Plan files in and out: a chain of dives comes in whole, and goes out whole."""

from __future__ import annotations

import io
import re
import tomllib
import unicodedata
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib.resources import files
from pathlib import PurePosixPath
from typing import Final

from slatewright.dive.plan_text import Outline, outline_of, read_plan_text
from slatewright.errors import InputError
from slatewright.store.plan_records import PlanEntry, SavedPlan
from slatewright.store.plans import create_plan
from slatewright.store.session import Session

ENDING: Final = ".toml"
_SAFE_NAME: Final = re.compile(r"[\w-][\w .-]{0,100}\.toml")
_EXAMPLE_FOLDERS: Final = ("build-up-week", "imperial", "closed-circuit")
_ZIP_DATE: Final = (1980, 1, 1, 0, 0, 0)
"""The same plans make the same bytes; what was changed when is in the store."""


@dataclass(frozen=True, slots=True)
class Example:
    """A plan that comes with the program.

    Parameters
    ----------
    name
        Folder and file, such as ``build-up-week/6-the-wall.toml``.
    outline
        What it is about.
    before
        How many dives come before it; they are brought in with it.
    """

    name: str
    outline: Outline
    before: int


@cache
def examples() -> tuple[Example, ...]:
    """Return the plans that come with the program, by folder and file."""
    found = []
    for name, text in _example_texts().items():
        chain = _with_earlier(PurePosixPath(name).name, _beside(name))
        found.append(Example(name, outline_of(read_plan_text(text)), len(chain) - 1))
    return tuple(found)


def bring_in_example(session: Session, name: str, *, now: datetime) -> SavedPlan:
    """Keep an example and the dives before it as plans of one's own.

    Parameters
    ----------
    session
        A session that writes.
    name
        The example.
    now
        The moment.

    Returns
    -------
    SavedPlan
        The example itself; those before it are its earlier plans.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    if name not in _example_texts():
        raise InputError(f"there is no example '{name}'", right="one of those in the list")
    texts = _beside(name)
    chain = _with_earlier(PurePosixPath(name).name, texts)
    return bring_in(session, {each: texts[each] for each in chain}, now=now)[-1]


def bring_in(session: Session, texts: Mapping[str, str], *, now: datetime) -> tuple[SavedPlan, ...]:
    """Keep plan files as plans; one that names another of them as its earlier dive follows it.

    Parameters
    ----------
    session
        A session that writes.
    texts
        Name of the file to its text. A text may have faults: it is kept, and the bench names them.
    now
        The moment.

    Returns
    -------
    tuple
        The plans, each after the one that it follows.

    Raises
    ------
    InputError
        If a text cannot be kept, or the files follow each other in a circle.
    """
    kept: dict[str, SavedPlan] = {}
    for name in sorted(texts):
        for link in reversed(_with_earlier(name, texts, stop_at=kept)):
            before = _earlier_name(texts[link])
            earlier = kept.get(before) if before else None
            kept[link] = create_plan(
                session, texts[link], now=now, earlier_plan_id=earlier.id if earlier else None
            )
    return tuple(kept.values())


def file_name(plan: PlanEntry) -> str:
    """Return a name for the file of a plan, from its title.

    Parameters
    ----------
    plan
        The plan.
    """
    plain = unicodedata.normalize("NFKD", plan.title).encode("ascii", "ignore").decode().lower()
    words = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-")
    return f"{words or f'plan-{plan.id}'}{ENDING}"


def zip_of(chain: Sequence[SavedPlan]) -> bytes:
    """Return plan files that follow each other as one archive, named as they name each other.

    Parameters
    ----------
    chain
        The plans, the first dive first.
    """
    names = [file_name(plan) for plan in chain]
    for index, later in enumerate(chain[1:]):
        names[index] = _earlier_name(later.text) or names[index]
    return _zipped(zip(_different(names), (plan.text for plan in chain), strict=True))


def zip_of_all(plans: Iterable[SavedPlan]) -> bytes:
    """Return plans that have nothing to do with each other as one archive.

    Parameters
    ----------
    plans
        The plans.
    """
    plans = tuple(plans)
    names = [f"{plan.id:04d}-{file_name(plan)}" for plan in plans]
    return _zipped(zip(names, (plan.text for plan in plans), strict=True))


def _zipped(named: Iterable[tuple[str, str]]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in named:
            archive.writestr(zipfile.ZipInfo(name, _ZIP_DATE), text.encode())
    return buffer.getvalue()


def _different(names: Iterable[str]) -> list[str]:
    taken: list[str] = []
    for name in names:
        free, number = name, 2
        while free in taken:
            free = f"{name.removesuffix(ENDING)}-{number}{ENDING}"
            number += 1
        taken.append(free)
    return taken


def _with_earlier(
    name: str, texts: Mapping[str, str], stop_at: Mapping[str, object] | None = None
) -> list[str]:
    """Return a file and those before it that are at hand and not yet kept, the last dive first."""
    chain: list[str] = []
    here: str | None = name
    while here is not None and here in texts and here not in (stop_at or {}):
        if here in chain:
            raise InputError(f"'{here}' builds on itself", where="earlier", right="an earlier dive")
        chain.append(here)
        here = _earlier_name(texts[here])
    return chain


def _earlier_name(text: str) -> str | None:
    """Return the name of the file that a text names as its earlier dive; None if it names none."""
    try:
        earlier = tomllib.loads(text).get("earlier")
    except (tomllib.TOMLDecodeError, RecursionError):
        return None
    named = earlier.get("plan") if isinstance(earlier, dict) else None
    name = PurePosixPath(named).name if isinstance(named, str) else ""
    return name if _SAFE_NAME.fullmatch(name) else None


@cache
def _example_texts() -> dict[str, str]:
    root = files("slatewright.data").joinpath("examples")
    return {
        f"{folder}/{entry.name}": entry.read_text("utf-8")
        for folder in _EXAMPLE_FOLDERS
        for entry in sorted(root.joinpath(folder).iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(ENDING)
    }


def _beside(name: str) -> dict[str, str]:
    """Return the examples in the folder of one, by file."""
    folder = PurePosixPath(name).parent
    return {
        PurePosixPath(other).name: text
        for other, text in _example_texts().items()
        if PurePosixPath(other).parent == folder
    }
