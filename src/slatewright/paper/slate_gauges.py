"""From the supply of a team to the gauges on the front of the slate."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.paper.slate_extras import GaugeLine

if TYPE_CHECKING:
    from slatewright.supply.matching import CylinderSupply, Matched
    from slatewright.supply.wayhome.grid import Grid

_CRUMB_MOL: Final = 1e-9


def gauges_of(supply: Matched) -> tuple[GaugeLine, ...]:
    """Return what each diver reads of the gas by which the team turns.

    Parameters
    ----------
    supply
        The gas of the dive.

    Returns
    -------
    tuple[GaugeLine, ...]
        A line for each cylinder of that gas, in the order of the team and of the kits; none for
        one that is breathed empty before the turn, such as a stage of bottom gas: nothing of what
        is kept is in it, and its gauge says nothing of the turn.
    """
    return tuple(
        GaugeLine(
            diver=own.diver.name,
            cylinder=held.use.carried.label,
            turn_gauge_bar=held.turn_gauge_bar,
            minimum_gauge_bar=held.reserve_gauge_bar,
            units=own.diver.units,
        )
        for own in supply.divers
        for held in own.cylinders
        if held.use.carried.mix == supply.turn_mix and not _empty_at_turn(held)
    )


def _empty_at_turn(held: CylinderSupply) -> bool:
    keeps_nothing = held.reserve_mol <= _CRUMB_MOL and held.reserve_gauge_bar is not None
    return keeps_nothing and held.turn_gauge_bar == held.reserve_gauge_bar


def no_way_home_of(grid: Grid) -> tuple[str, ...]:
    """Return where a dive has no way home, for the banner of the slate.

    Parameters
    ----------
    grid
        The judged grid.

    Returns
    -------
    tuple[str, ...]
        Such as ``from min 14: EAN50 lost``, the earliest first; empty if there always is one.
    """
    failing = [
        (row.first_without_min, row.failure.name)
        for row in grid.rows
        if row.first_without_min is not None
    ]
    return tuple(f"from min {first}: {name}" for first, name in sorted(failing))
