"""What the analyser said, written into the text of a fill file; the rest of it stays as it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from slatewright.desk.fill.keeping import plain
from slatewright.errors import InputError, PlanFileError
from slatewright.fill.fillfile import FillFile, read_fill_text
from slatewright.physics.units import UnitSystem
from slatewright.toml.lines import TomlLines

_ENDINGS: Final = {UnitSystem.METRIC: ("bar", "c"), UnitSystem.IMPERIAL: ("psi", "f")}


@dataclass(frozen=True, slots=True)
class Entry:
    """What was typed, each as it was.

    Parameters
    ----------
    cylinder
        The cylinder.
    o2, he
        Oxygen and helium; helium empty if it was not analysed [%].
    gauge
        What the gauge showed, in the units of the file [bar or psi].
    temperature
        The temperature then; empty for the reference temperature [°C or °F].
    by
        Who read it.
    at
        Day and hour, as ``2031-05-09T17:30``.
    """

    cylinder: str
    o2: str
    he: str
    gauge: str
    temperature: str
    by: str
    at: str


def with_analysis(text: str, entry: Entry) -> str:
    """Return the text with an analysis at its end, in the place of an older one of that cylinder.

    Parameters
    ----------
    text
        The fill file, without faults.
    entry
        What was typed.

    Returns
    -------
    str
        The text, which has been read again and has no faults.

    Raises
    ------
    InputError
        If something that was typed cannot be used.
    PlanFileError
        If the text has faults.
    """
    file = read_fill_text(text)
    pressure, degrees = _ENDINGS[file.units]
    rows = [
        f"cylinder = {_quoted(entry.cylinder)}",
        f"o2_percent = {_number(entry.o2, 'oxygen')}",
    ]
    if entry.he.strip():
        rows.append(f"he_percent = {_number(entry.he, 'helium')}")
    rows += [f"by = {_quoted(entry.by.strip())}", f"at = {_moment(entry.at)}"]
    rows.append(f"gauge_{pressure} = {_number(entry.gauge, 'pressure')}")
    if entry.temperature.strip():
        rows.append(f"temperature_{degrees} = {_number(entry.temperature, 'temperature')}")
    kept = _without(text, file, entry.cylinder).rstrip("\n")
    made = "\n".join((kept, "", "[[analysis]]", *rows, ""))
    try:
        read_fill_text(made)
    except PlanFileError as error:
        fault = error.faults[0]
        field = (fault.where or "").rpartition(".")[2]
        raise InputError(fault.what, where=field, right=fault.right) from None
    return made


def analysis_seen(file: FillFile, cylinder: str) -> str:
    """Return the moment of the analysis that a text has of a cylinder; empty if it has none.

    Parameters
    ----------
    file
        The fill file.
    cylinder
        The cylinder.
    """
    return next((str(table.at) for table in file.analysis if table.cylinder == cylinder), "")


def _without(text: str, file: FillFile, cylinder: str) -> str:
    """Cut the analysis of a cylinder out, and keep the comments that belong to what follows it."""
    number = next((i for i, t in enumerate(file.analysis) if t.cylinder == cylinder), None)
    if number is None:
        return text
    places = TomlLines(text)
    if ("analysis", number) not in places.tables:
        raise InputError(
            "the analyses of this file are written as one list",
            where="analysis",
            right="a table [[analysis]] for each, or change it in the text",
        )
    lines = plain(text).split("\n")
    first = places.line(("analysis", number)) - 1
    last = max(
        node.end_point.row
        for path, node in places.pairs.items()
        if path[:2] == ("analysis", number)
    )
    while last + 1 < len(lines) and not lines[last + 1].strip():
        last += 1
    return "\n".join((*lines[:first], *lines[last + 1 :]))


def _number(typed: str, where: str) -> str:
    """Return a number as TOML has it; a decimal comma is read as one."""
    text = typed.strip().replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        raise InputError(f"'{typed}' is no number", where=where, right="such as 17.8") from None
    return f"{value:.10g}" if abs(value) < 1e6 else _too_large(typed, where)


def _too_large(typed: str, where: str) -> str:
    raise InputError(f"'{typed}' is out of range", where=where, right="what the instrument shows")


def _moment(typed: str) -> str:
    try:
        return datetime.fromisoformat(typed.strip()).replace(tzinfo=None).isoformat("T", "seconds")
    except ValueError:
        raise InputError(
            f"'{typed}' is no day and hour", where="at", right="such as 2031-05-09T17:30"
        ) from None


def _quoted(words: str) -> str:
    escaped = words.replace("\\", "\\\\").replace('"', '\\"')
    if not words.isprintable():
        raise InputError(
            "has a character that cannot be printed", where="by", right="letters and digits"
        )
    return f'"{escaped}"'
