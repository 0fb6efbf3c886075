"""The back of the slate: short schedules, a column each, all on one page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from slatewright.paper.reading import depth_text
from slatewright.paper.slate_extras import one_line
from slatewright.paper.theme import mixture_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from slatewright.decompression.settings import OxygenBreaks
    from slatewright.paper.slate_extras import ShortRow, ShortSchedule
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
