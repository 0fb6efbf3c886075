"""What is done on the sheet: a form in, the text that it makes, and what is wrong with it."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from slatewright.desk.bench.form import (
    Fields,
    data_of,
    marked_anew,
    with_row,
    without_marks,
    without_row,
)
from slatewright.desk.bench.sheet import Data
from slatewright.desk.problem import Fault, problem_of
from slatewright.dive.hazard import Change, Mend
from slatewright.dive.mending import mended
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.planfile import PlanFile, parse_plan_file, write_plan_file
from slatewright.errors import InputError, PlanFileError

LONGEST_TEXT: Final = 200_000
_LONGEST_MEND: Final = 20_000


@dataclass(frozen=True, slots=True)
class Work:
    """The sheet at a moment.

    Parameters
    ----------
    data
        What is typed, as the data of a plan file; None if the text is not TOML.
    text
        The text that it makes; empty if it has faults.
    typed
        The text as it was typed or brought in, where it could not be read.
    faults
        What is wrong with it.
    """

    data: Data | None
    text: str
    typed: str = ""
    faults: tuple[Fault, ...] = ()


def work_of_text(text: str) -> Work:
    """Return the sheet of a text.

    Parameters
    ----------
    text
        The text, with faults or without.
    """
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        data = None
    try:
        read_plan_text(text)
    except PlanFileError as error:
        return Work(data, "", text, problem_of(error).faults)
    return Work(data, text)


def work_of_form(form: Fields, base_text: str, do: str) -> Work:
    """Return the sheet that a form makes.

    Parameters
    ----------
    form
        The fields.
    base_text
        The text that the form began from, without faults.
    do
        What is to be done besides: ``add:gas`` or ``drop:gas:1``; empty for nothing.

    Raises
    ------
    PlanFileError
        If ``base_text`` is not TOML.
    """
    base = _toml(base_text)
    data = data_of(form, base)
    match do.split(":"):
        case ["add", table]:
            data = with_row(data, table)
        case ["drop", table, number] if number.isdecimal():
            data = without_row(data, table, int(number[:4]))
        case _:
            pass
    return _work(data, base_text)


def work_of_data(data: Data, base_text: str) -> Work:
    """Return the sheet of data.

    Parameters
    ----------
    data
        The data of a plan file.
    base_text
        The text into which it is written.
    """
    return _work(data, base_text)


def cured(work: Work, mend: str) -> Work:
    """Return the sheet with a cure written in.

    Parameters
    ----------
    work
        The sheet, without faults.
    mend
        The cure as the button carries it: words, and changes of path and value.

    Raises
    ------
    InputError
        If it is no cure, or does not fit the plan any more.
    """
    plan = read_plan_text(work.text)
    text = write_plan_file(mended(plan, mend_of(mend)), work.text)
    return Work(tomllib.loads(text), text)


def mend_of(written: str) -> Mend:
    """Return a cure as a button carries it.

    Parameters
    ----------
    written
        JSON: words, and changes of path and value.

    Raises
    ------
    InputError
        If it is none.
    """
    try:
        words, changes = json.loads(written[:_LONGEST_MEND])  # what is cut is no JSON any more
        return Mend(str(words), tuple(_change(path, value) for path, value in changes))
    except (ValueError, TypeError, RecursionError):
        raise InputError("that is no cure", right="a button of the page") from None


def _change(path: Any, value: Any) -> Change:  # noqa: ANN401 - JSON of a form
    if not path or not all(isinstance(part, str | int) for part in path):
        raise ValueError(path)
    flat = str | int | float | bool | None
    if isinstance(value, list):
        value = tuple(str(part) for part in value)
    elif isinstance(value, dict):
        value = {
            str(key): tuple(map(str, part)) if isinstance(part, list) else part
            for key, part in value.items()
        }
    elif not isinstance(value, flat):
        raise TypeError(value)
    return Change(tuple(path), value)


def _work(data: Data, base_text: str) -> Work:
    plain = without_marks(data)
    try:
        plan: PlanFile = parse_plan_file("", plain)
    except PlanFileError as error:
        faults = (Fault(one.what, one.where, 0, one.right) for one in error.faults)
        return Work(data, "", "", tuple(faults))
    return Work(marked_anew(data), write_plan_file(plan, base_text))


@lru_cache(maxsize=16)
def _toml(text: str) -> Data:
    """Return what a text says: each keystroke begins from the text that the last one made."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        raise PlanFileError("the text that the sheet began from is not TOML") from None
