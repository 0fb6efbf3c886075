"""From the fields of the sheet back to a plan file; what the sheet does not show stays."""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from typing import Any, Final, Protocol

from slatewright.desk.bench.fields import GROUPS, Group, Spec
from slatewright.desk.bench.sheet import Data, key_in
from slatewright.physics.units import UnitSystem

WAS: Final = "\0was"
"""Under this name, which no file can have, a row keeps from which row of the text it came."""
MOST_ROWS: Final = 40
_GIVEN: Final = {WAS, "use", "place"}
"""What a new row has before anything is typed."""
_WHOLE: Final = re.compile(r"[+-]?\d{1,12}")
_DECIMAL: Final = re.compile(r"[+-]?\d{1,12}\.\d{1,12}")


class Fields(Protocol):
    """The fields of a form, as the framework has them."""

    def getlist(self, key: Any) -> list[Any]:  # noqa: ANN401 - as the framework has it
        """Return all values of a name.

        Parameters
        ----------
        key
            The name.
        """

    def keys(self) -> Any:  # noqa: ANN401 - as the framework has it
        """Return the names."""


def data_of(form: Fields, base: Data) -> Data:
    """Return what a form says, as the data of a plan file.

    Parameters
    ----------
    form
        The fields.
    base
        What the text says that the form began from. Keys without a field stay, and so do the
        entries of a row that the form still has.

    Returns
    -------
    dict
        It may have faults: what is no number stays as it was typed.
    """
    data = deepcopy(base)
    units = UnitSystem.IMPERIAL if data.get("units") == "imperial" else UnitSystem.METRIC
    typed = {name: _last(form, name) for name in form.keys()}  # noqa: SIM118 - a protocol of ours
    shown = set(form.getlist("rows"))
    for group in GROUPS:
        if group.many:
            if group.table in shown:
                rows = _rows(group, typed, base, units)
                _put(data, group.table, rows or None)
            continue
        entry = data if not group.table else dict(_dict(data.get(group.table)))
        prefix = f"{group.table}." if group.table else ""
        _write(entry, group, prefix, typed, units)
        if group.table:
            _put(data, group.table, entry if entry or _keeps_empty(group, base) else None)
    _follow(data, base)
    return data


def _follow(data: Data, base: Data) -> None:
    """Let all that still names a gas whose mixture was changed follow it."""
    before = base.get("gas", [])
    now = {row.get("mix") for row in data.get("gas", [])}
    for row in data.get("gas", []):
        was = str(row.get(WAS, ""))
        at = int(was) if was.isdecimal() else -1
        old = _dict(before[at]).get("mix") if 0 <= at < len(before) else None
        if old is None or old in now or row.get("mix") in {None, old}:
            continue
        for cylinder in data.get("cylinder", []):
            if cylinder.get("gas") == old:
                cylinder["gas"] = row["mix"]
        breaks = _dict(data.get("breaks"))
        if breaks.get("gas") == old:
            breaks["gas"] = row["mix"]
        loop = _dict(data.get("loop"))
        if loop.get("diluent") == old:
            loop["diluent"] = row["mix"]


def without_marks(data: Data) -> Data:
    """Return data without the marks of the rows, to be validated and written.

    Parameters
    ----------
    data
        As `data_of` returns it.

    Returns
    -------
    dict
        A new row in which nothing is typed yet is left out: it says nothing.
    """
    plain: Data = {}
    for name, value in data.items():
        if not isinstance(value, list):
            plain[name] = value
        elif rows := [_unmarked(row) for row in value if not _is_blank(row)]:
            plain[name] = rows
    return plain


def marked_anew(data: Data) -> Data:
    """Return data whose rows are marked by the text that was made of them.

    Parameters
    ----------
    data
        As `data_of` returns it.
    """
    marked: Data = {}
    for name, value in data.items():
        if not isinstance(value, list):
            marked[name] = value
            continue
        rows, position = [], 0
        for row in value:
            blank = _is_blank(row)
            rows.append(
                row | {WAS: "" if blank else str(position)} if isinstance(row, dict) else row
            )
            position += not blank
        marked[name] = rows
    return marked


def _is_blank(row: object) -> bool:
    return isinstance(row, dict) and row.get(WAS) == "" and set(row) <= _GIVEN


def with_row(data: Data, table: str) -> Data:
    """Return data with one more row.

    Parameters
    ----------
    data
        The data.
    table
        The table; one that has no rows is left as it is.
    """
    if not any(group.many and group.table == table for group in GROUPS):
        return data
    rows = [*data.get(table, [])]
    if len(rows) < MOST_ROWS:
        use = "bailout" if "loop" in data else "decompression"
        rows.append({WAS: ""} | ({"use": use} if table == "gas" else {}))
    return data | {table: rows}


def without_row(data: Data, table: str, number: int) -> Data:
    """Return data without a row.

    Parameters
    ----------
    data
        The data.
    table
        The table.
    number
        The row, counted from 0; one that is not there changes nothing.
    """
    rows = [row for position, row in enumerate(data.get(table, [])) if position != number]
    changed = {name: value for name, value in data.items() if name != table}
    return changed | ({table: rows} if rows else {})


def _last(form: Fields, name: str) -> str:
    value = form.getlist(name)[-1]
    return value.strip() if isinstance(value, str) else ""


def _rows(group: Group, typed: Mapping[str, str], base: Data, units: UnitSystem) -> list[Data]:
    numbers = sorted(
        {
            int(name.split(".")[1])
            for name in typed
            if re.fullmatch(rf"{group.table}\.\d{{1,3}}\..+", name)
        }
    )
    before = base.get(group.table, [])
    rows = []
    for number in numbers[:MOST_ROWS]:
        prefix = f"{group.table}.{number}."
        was = typed.get(f"{prefix}was", "")
        at = int(was) if was.isdecimal() and len(was) < 4 else -1
        row = dict(_dict(before[at])) if 0 <= at < len(before) else {}
        _write(row, group, prefix, typed, units)
        _write_inner(row, group, prefix, typed, units)
        rows.append(row | {WAS: was})
    return rows


def _write(
    entry: Data, group: Group, prefix: str, typed: Mapping[str, str], units: UnitSystem
) -> None:
    for spec in group.specs:
        key = key_in(spec, units)
        if f"{prefix}{key}" in typed:
            value = _value(spec, typed[f"{prefix}{key}"], entry.get(key))
            _put(entry, key, value)


def _write_inner(
    row: Data, group: Group, prefix: str, typed: Mapping[str, str], units: UnitSystem
) -> None:
    """Write the table within a row; one in which nothing stands any more is taken out."""
    for table in dict.fromkeys(spec.key.partition(".")[0] for spec in group.inner):
        specs = tuple(
            replace(spec, key=spec.key.partition(".")[2])
            for spec in group.inner
            if spec.key.startswith(f"{table}.")
        )
        entry = dict(_dict(row.get(table)))
        _write(entry, replace(group, specs=specs), f"{prefix}{table}.", typed, units)
        _put(row, table, entry or None)


def _value(spec: Spec, text: str, before: object) -> object:
    """Return what a field says; None for an empty one."""
    match spec.kind:
        case "number":
            return _number(text, before)
        case "yes":
            return True if text else (False if before is not None else None)
        case "uses":
            return text.split() or None
        case "names":
            return [name.strip() for name in text.split(",") if name.strip()] or None
        case "choice":
            stands_in = text == spec.choices[0][0] and before is None
            return None if stands_in or not text else text
        case _:
            return text or None


def _number(text: str, before: object) -> object:
    if not text:
        return None
    if _WHOLE.fullmatch(text):
        number: float = int(text)
    elif _DECIMAL.fullmatch(text):
        number = float(text)
    else:
        return text
    # the same number stays as it is written, such as 45.0
    same = isinstance(before, int | float) and not isinstance(before, bool) and before == number
    return before if same else number


def _put(entry: Data, key: str, value: object) -> None:
    if value is None:
        entry.pop(key, None)
    else:
        entry[key] = value


def _keeps_empty(group: Group, base: Data) -> bool:
    return group.table in base and group.table not in {"breaks", "rig"}


def _dict(value: object) -> Data:
    return value if isinstance(value, dict) else {}


def _unmarked(row: object) -> object:
    if not isinstance(row, dict):
        return row
    return {key: value for key, value in row.items() if key != WAS}
