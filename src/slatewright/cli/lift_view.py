"""Whether wing and lead fit the dive, on the terminal: heaviest and lightest moment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.cli.console import entries, heading, wrapped
from slatewright.supply.lift import mass_label, when_label
from slatewright.supply.lift_over_dive import NO_RIG

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.text import Text

    from slatewright.physics.units import UnitSystem
    from slatewright.supply.lift import Balance, BuoyancyPoint
    from slatewright.supply.lift_over_dive import Lift
    from slatewright.supply.rig import Rig


def lift_notes(lifts: Sequence[Lift], units: UnitSystem, width: int) -> list[Text]:
    """Return the lift of a team.

    Parameters
    ----------
    lifts
        What each diver weighs in water.
    units
        The units of the plan.
    width
        Columns.
    """
    unjudged = [lift.diver.name for lift in lifts if lift.balance is None]
    head = heading("Lift")
    if len(unjudged) == len(lifts):
        return wrapped(head.append(f"  not judged: {NO_RIG}", "not bold"), width)
    told = "  buoyancy with an empty wing, from full cylinders to empty"
    rows = list(_rows(lifts, units))
    if unjudged:
        rows.append((", ".join(unjudged), f"not judged: {NO_RIG}"))
    return [*wrapped(head.append(told, "not bold"), width), *entries(rows, width)]


def _rows(lifts: Sequence[Lift], units: UnitSystem) -> Iterator[tuple[str, str]]:
    said: dict[str, list[str]] = {}
    for lift in lifts:
        if lift.balance is None or lift.diver.rig is None:
            continue
        yield lift.diver.name, _figures(lift.balance, lift.diver.rig, units)
        for assumption in lift.balance.assumptions:
            said.setdefault(assumption, []).append(lift.diver.name)
    judged = sum(lift.balance is not None for lift in lifts)
    shared = [text for text, names in said.items() if len(names) == judged]
    own = [f"{' and '.join(names)}: {text}" for text, names in said.items() if len(names) < judged]
    yield "taken for granted", "; ".join([*shared, *own])


def _figures(found: Balance, rig: Rig, units: UnitSystem) -> str:
    wing = mass_label(rig.wing_lift_kg, units, up=False)
    return (
        f"heaviest {_net(found.heaviest, units)}, where the wing lifts {wing}; "
        f"lightest {_net(found.lightest, units, up=False)}"
    )


def _net(point: BuoyancyPoint, units: UnitSystem, *, up: bool = True) -> str:
    """Return a moment: what must be lifted is rounded up, what may still be lost down."""
    if point.net_kg > 0.0:
        return f"{when_label(point, units)}: {mass_label(point.net_kg, units)} too light"
    return f"{when_label(point, units)}: {mass_label(-point.net_kg, units, up=up)} to lift"
