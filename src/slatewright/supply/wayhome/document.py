"""The grid as data that other programs read, and the refusal of a plan that has no way home."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, Final

from slatewright.dive import say
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.supply.wayhome.cures import Cure, cures_of
from slatewright.supply.wayhome.verdicts import Cell, Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from numpy.typing import NDArray

    from slatewright.supply.wayhome.grid import Grid

SCHEMA: Final = "slatewright/wayhome/1"
_NAMES: Final = {
    Verdict.NOT_MEANT: None,
    Verdict.HOME: "home",
    Verdict.HURRIED: "hurried",
    Verdict.BEYOND_LIMITS: "beyond limits",
    Verdict.HURRIED_BEYOND_LIMITS: "hurried beyond limits",
    Verdict.NO_WAY: "no way",
}


def as_document(grid: Grid, *, cures: bool = True) -> dict[str, Any]:
    """Return a grid as plain data.

    Parameters
    ----------
    grid
        The grid.
    cures
        True to look for cures of what has no way home, which takes seconds.

    Returns
    -------
    dict
        Numbers, texts, lists and dicts alone.
    """
    rows = []
    for number, summary in enumerate(grid.rows):
        arrays = grid.arrays
        verdicts = [Verdict(value) for value in arrays.verdict[number].tolist()]
        rows.append(
            {
                "failure": summary.failure.name,
                "kind": summary.failure.kind.value,
                "verdict": [_NAMES[verdict] for verdict in verdicts],
                "surfaced_min": _numbers(arrays.surfaced_min[number]),
                "share_left": _numbers(arrays.share[number]),
                "scarce_gas": [
                    str(grid.mixes[gas]) if gas >= 0 else None
                    for gas in arrays.scarce_gas[number].tolist()
                ],
                "scarce_diver": [
                    grid.team.divers[who].name if who >= 0 else None
                    for who in arrays.scarce_diver[number].tolist()
                ],
                "over_limit_bar": _numbers(arrays.over_bar[number]),
                "below_floor_bar": _numbers(arrays.under_bar[number]),
                "worst": _cell(summary.worst),
                "first_without_min": summary.first_without_min,
                "minutes_without": summary.minutes_without,
                "minutes_compromised": summary.minutes_compromised,
                "cures": [_cure(cure) for cure in cures_of(grid, number)] if cures else [],
            }
        )
    first = grid.first_failing
    return {
        "schema": SCHEMA,
        "title": grid.plan.title,
        "has_way_home": grid.has_way_home,
        "first_failing": None
        if first is None
        else {"failure": first.failure.name, "minute": first.first_without_min},
        "rules": {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in asdict(grid.rules).items()
        },
        "divers": [diver.name for diver in grid.team.divers],
        "minutes": list(grid.minutes),
        "depth_m": list(grid.depths_m),
        "failures": rows,
    }


def refusal_of(grid: Grid) -> NoSafeAnswer | None:
    """Return the refusal of a plan that has no way home, with what cures it; None if it has one.

    Parameters
    ----------
    grid
        The grid.

    Returns
    -------
    NoSafeAnswer or None
        One reason for each failure, that which has no way home from the earliest minute first.
    """
    failing = [
        (summary.first_without_min, number)
        for number, summary in enumerate(grid.rows)
        if summary.first_without_min is not None
    ]
    reasons = []
    for minute, number in sorted(failing):
        cell = grid.cell(number, minute)
        reasons.append(
            Reason(
                f"from minute {minute} ({say.depth(cell.depth_m, grid.plan.units)}) there is no "
                f"way home with {cell.failure.name}: {cell.why}",
                "; or ".join(cure.text for cure in cures_of(grid, number)),
            )
        )
    return NoSafeAnswer(*reasons) if reasons else None


def _numbers(values: NDArray[np.float64]) -> list[float | None]:
    return [None if math.isnan(value) else value for value in values.tolist()]


def _cell(cell: Cell) -> dict[str, Any]:
    scarce = cell.scarce
    return {
        "minute": cell.minute,
        "depth_m": cell.depth_m,
        "verdict": _NAMES[cell.verdict],
        "diver": cell.diver,
        "surfaced_min": cell.surfaced_min,
        "gases": _texts(cell.gases),
        "shared": _texts(cell.shared),
        "scarce": None
        if scarce is None
        else {
            "diver": scarce.diver,
            "cylinders": list(scarce.cylinders),
            "gas": str(scarce.mix),
            "share": scarce.share,
            "free_l": scarce.free_l,
            "until_min": scarce.until_min,
        },
        "over_limit_bar": cell.over_bar,
        "below_floor_bar": cell.under_bar,
        "omitted_min": cell.omitted_min,
        "gradient_low": cell.gradient_low,
        "gradient_high": cell.gradient_high,
        "lacking": [{"gas": str(gas.mix), "free_l": gas.free_l} for gas in cell.lacking],
        "nothing_to_breathe_m": None
        if cell.nothing_from_m is None
        else [cell.nothing_from_m, cell.nothing_to_m],
        "why": cell.why,
    }


def _cure(cure: Cure) -> dict[str, Any]:
    return {
        "kind": cure.kind.value,
        "text": cure.text,
        "gases": [{"gas": str(mix), "free_l": free_l} for mix, free_l in cure.gases],
        "fills": [asdict(fill) | {"mix": str(fill.mix)} for fill in cure.fills],
        "leave_at_min": cure.leave_at_min,
        "mix": str(cure.mix) if cure.mix else None,
    }


def _texts(values: Iterable[object]) -> list[str]:
    return [str(value) for value in values]
