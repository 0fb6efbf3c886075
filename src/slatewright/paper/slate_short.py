"""The back of the slate: short schedules, a column each, all on one page."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from slatewright.paper.reading import depth_text
from slatewright.paper.slate_extras import ShortRow, ShortSchedule, one_line
from slatewright.paper.slate_rows import RowKind, slate_rows
from slatewright.paper.theme import mixture_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from slatewright.decompression.leg import Leg
    from slatewright.decompression.settings import OxygenBreaks
    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.units import UnitSystem

_SAME_M: Final = 0.05
_LONGEST_NAME: Final = 24


def gas_data(mix: Mixture, marks: Mapping[Mixture, GasMark]) -> dict[str, Any]:
    """Return a gas as the template draws it.

    Parameters
    ----------
    mix
        The gas.
    marks
        The marks of the dive.

    Returns
    -------
    dict[str, Any]
        Name, letter and shape.
    """
    mark = marks[mix]
    return {
        "name": mixture_name(mix),
        "letter": mark.letter,
        "corners": mark.corners,
        "drop": mark.letter_drop,
    }


def short_schedule(name: str, legs: Sequence[Leg]) -> ShortSchedule:
    """Read a short schedule off the legs of a case, rounded as on the front.

    Parameters
    ----------
    name
        What has happened, in two or three words.
    legs
        The dive of that case, from the surface and back.

    Returns
    -------
    ShortSchedule
        A row for each depth; a break from oxygen is part of the stop, on the gas of its first
        minutes.

    Raises
    ------
    InputError
        If the legs have no slate.
    """
    rows: list[ShortRow] = []
    read = slate_rows(legs).rows
    for row in read:
        if row.kind is not RowKind.STOP or row.stop_min is None:
            continue
        if rows and abs(rows[-1].depth_m - row.depth_m) <= _SAME_M:
            here = rows.pop()
            stop_min = here.stop_min + row.stop_min
            rows.append(replace(here, stop_min=stop_min, until_min=row.until_min))
        else:
            rows.append(ShortRow(row.depth_m, row.stop_min, row.until_min, row.gas))
    left = [row.until_min for row in read if row.kind is RowKind.LEVEL]
    return ShortSchedule(name, left[-1] if left else 0, tuple(rows), read[-1].until_min)


def short_pages(
    cases: Sequence[ShortSchedule],
    marks: Mapping[Mixture, GasMark],
    units: UnitSystem,
    model: str,
    breaks: OxygenBreaks | None = None,
) -> list[dict[str, Any]]:
    """Lay short schedules on one page: depths downward, cases across.

    Parameters
    ----------
    cases
        The schedules, in the order of the columns.
    marks
        The marks of the dive; a gas that is changed to is known by its letter and shape.
    units
        Metric or imperial.
    model
        The line that names model and water.
    breaks
        Breaks from oxygen, which a column does not show one by one; None for none.

    Returns
    -------
    list[dict[str, Any]]
        One page, ready to set; none if there are no cases.
    """
    if not cases:
        return []
    depths_m = sorted({round(row.depth_m, 3) for case in cases for row in case.rows}, reverse=True)
    gases = dict.fromkeys(row.gas for case in cases for row in case.rows)
    return [
        {
            "kind": "short",
            "cases": [
                {
                    "name": one_line(case.name, _LONGEST_NAME),
                    "leave": str(case.leave_min),
                    "no_way": one_line(case.no_way),
                    "surface": "" if case.no_way else str(case.surface_min),
                }
                for case in cases
            ],
            "depths": [depth_text(depth_m, units) for depth_m in depths_m],
            "cells": [[_cell(case, depth_m, marks) for case in cases] for depth_m in depths_m],
            "notes": [_note(breaks), model],
            "gases": [gas_data(mix, marks) for mix in marks if mix in gases],
        }
    ]


def _note(breaks: OxygenBreaks | None) -> str:
    said = "Large: run time at which the stop is left. Small: its minutes from arrival."
    if breaks is not None:
        said += (
            f" Breaks from oxygen, {breaks.on_min} min on and {breaks.off_min} off, are in them."
        )
    return said


def _cell(
    case: ShortSchedule, depth_m: float, marks: Mapping[Mixture, GasMark]
) -> dict[str, Any] | None:
    """Return what one case does at one depth; None if it does not stop there."""
    number = next(
        (i for i, row in enumerate(case.rows) if abs(row.depth_m - depth_m) <= _SAME_M), None
    )
    if number is None:
        return None
    row = case.rows[number]
    changed = _changed(case.rows, number)
    return {
        "stop": str(row.stop_min),
        "until": str(row.until_min),
        "gas": gas_data(row.gas, marks) if changed else None,
    }


def _changed(rows: Sequence[ShortRow], number: int) -> bool:
    """Tell whether the gas is another one than at the stop before; the first is always named."""
    return number == 0 or rows[number].gas != rows[number - 1].gas
