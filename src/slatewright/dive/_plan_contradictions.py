"""What no table of a plan file can know by itself: whether the tables agree."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from slatewright.dive._loop_contradictions import LOOP_CHECKS, ON_A_LOOP
from slatewright.dive._plan_base import LONGEST_MIN, OTHER_UNITS, Table, twin
from slatewright.dive._plan_tables import PlanTables
from slatewright.dive._plan_team import PartnerTable, SizeTable
from slatewright.dive._team_contradictions import TEAM_CHECKS
from slatewright.dive.plan import Use
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, m_from_feet
from slatewright.toml.faults import Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from slatewright.toml.lines import KeyPath

_SLACK_MIN: Final = 1e-6
_SLACK_LEVELS: Final = 1e-6


def contradictions(plan: PlanTables, unsound: frozenset[str] = frozenset()) -> Iterator[Fault]:
    """Yield what contradicts within a plan file.

    Parameters
    ----------
    plan
        The tables.
    unsound
        Names of tables that have faults of their own; what would need them is not looked at.
    """
    for needs, check in _CHECKS:
        if not needs & unsound:
            yield from check(plan)


def arrivals_min(
    plan: PlanTables, *, whole_minutes: bool = False
) -> tuple[tuple[float, float], ...]:
    """Return when each level is reached, and when it is left.

    On the way to the first level each travel gas takes one change of gas.

    Parameters
    ----------
    plan
        The tables, without contradictions.
    whole_minutes
        True to put the end of a stay that is given in minutes after arrival onto the next whole
        minute of run time.

    Returns
    -------
    tuple
        For each level the run times of arrival and of leaving [min].
    """
    bottom = {gas.mixture for gas in plan.gas if Use.BOTTOM in gas.use}
    changes = sum(Use.TRAVEL in gas.use and gas.mixture not in bottom for gas in plan.gas)
    times: list[tuple[float, float]] = []
    left_min, from_m, extra_min = 0.0, 0.0, changes * plan.ascent.switch_min
    for level in plan.level:
        to_m = _sure(level.metres("depth_{}", plan.units))
        arrival_min = left_min + _way_min(plan, from_m, to_m) + extra_min
        if level.leave_at_min is not None:
            left_min = level.leave_at_min
        else:
            left_min = arrival_min + (level.stay_min or 0.0)
            if whole_minutes:
                left_min = float(math.ceil(left_min - _SLACK_MIN))
        times.append((arrival_min, left_min))
        from_m, extra_min = to_m, 0.0
    return tuple(times)


def _way_min(plan: PlanTables, from_m: float, to_m: float) -> float:
    if to_m >= from_m:
        rate = plan.diver.metres("descent_{}_per_min", plan.units)
    else:
        rate = plan.ascent.metres("to_first_stop_{}_per_min", plan.units)
    return abs(to_m - from_m) / _sure(rate)


def _sure(value: float | None) -> float:
    """Return a length that validation has made sure of."""
    if value is None:
        raise ValueError("a length without value or default")
    return value


def _written(length_m: float, units: UnitSystem) -> str:
    if units is UnitSystem.IMPERIAL:
        return f"{round(length_m / m_from_feet(1.0), 3):g} ft"
    return f"{round(length_m, 3):g} m"


def _suffix(units: UnitSystem) -> str:
    return "ft" if units is UnitSystem.IMPERIAL else "m"


def _tables(plan: PlanTables) -> Iterator[tuple[KeyPath, Table]]:
    """Yield the tables that are there with the way to each."""
    for name in type(plan).model_fields:
        value = getattr(plan, name, None)
        if isinstance(value, Table):
            yield (name,), value
            yield from _lists(value, (name,))
        elif isinstance(value, tuple):
            for position, table in enumerate(value):
                yield (name, position), table
                if isinstance(table, PartnerTable) and table.rig is not None:
                    yield (name, position, "rig"), table.rig


def _lists(table: Table, path: KeyPath) -> Iterator[tuple[KeyPath, Table]]:
    """Yield the tables that stand in the lists of a table."""
    for name in table.model_fields_set:
        value = getattr(table, name)
        if isinstance(value, tuple):
            for position, row in enumerate(value):
                if isinstance(row, Table):
                    yield (*path, name, position), row


def _wrong_units(plan: PlanTables) -> Iterator[Fault]:
    imperial = plan.units is UnitSystem.IMPERIAL
    wrong = {metric if imperial else other for metric, (other, _) in OTHER_UNITS.items()}
    for path, table in _tables(plan):
        if isinstance(table, SizeTable):
            continue  # a cylinder is stamped in the units of its maker
        for name in table.model_fields_set:
            own = twin(name)
            if wrong & set(name.split("_")) and own in type(table).model_fields:
                yield Fault(
                    (*path, name),
                    f"is a key of the other system: this file has units = '{plan.units}'",
                    f"{own}, with the figure converted by you",
                )


def _levels_complete(plan: PlanTables) -> Iterator[Fault]:
    own = f"depth_{_suffix(plan.units)}"
    if not plan.level:
        yield Fault(("level",), "there is no level", "at least one [[level]]")
    for position, level in enumerate(plan.level):
        if level.depth_m is None and level.depth_ft is None:
            yield Fault(("level", position, own), "is missing", f"{own} = the depth of the stay")
        if (level.leave_at_min is None) == (level.stay_min is None):
            both = "both are given" if level.stay_min is not None else "neither is given"
            yield Fault(
                ("level", position, "stay_min"),
                f"of leave_at_min and stay_min {both}",
                "one of them: leave_at_min in minutes of run time, or stay_min after arrival",
            )


def _levels_in_time(plan: PlanTables) -> Iterator[Fault]:
    if any(level.metres("depth_{}", plan.units) is None for level in plan.level):
        return  # said already
    if any((level.leave_at_min is None) == (level.stay_min is None) for level in plan.level):
        return
    times = arrivals_min(plan)
    before_min = 0.0
    for position, (arrival_min, left_min) in enumerate(times):
        given = "stay_min" if plan.level[position].leave_at_min is None else "leave_at_min"
        path = ("level", position, given)
        if left_min <= before_min:
            yield Fault(
                path,
                f"{left_min:g} min is not after the level before it, which is left at "
                f"{before_min:g} min",
                "levels in order of time",
            )
        elif left_min < arrival_min - _SLACK_MIN:
            depth = _written(_sure(plan.level[position].metres("depth_{}", plan.units)), plan.units)
            earliest_min = -(-round(arrival_min, 6) * 10 // 1) / 10
            yield Fault(
                path,
                f"{left_min:g} min is before the diver can be at {depth}, at {earliest_min:g} min "
                "with the rates and changes of gas given",
                f"{earliest_min:g} or later, or stay_min",
            )
        before_min = left_min
    if times and before_min > LONGEST_MIN:
        yield Fault(
            ("level", len(times) - 1),
            f"the last level is left after {before_min:g} min",
            "a bottom phase of less than a day",
        )


def _gas_uses(plan: PlanTables) -> Iterator[Fault]:
    own = _suffix(plan.units)
    seen: dict[tuple[Mixture, Use], int] = {}
    for position, gas in enumerate(plan.gas):
        if not gas.use:
            yield Fault(("gas", position, "use"), "the list is empty", 'use = "bottom"')
        for use in gas.use:
            first = seen.setdefault((gas.mixture, use), position)
            if first != position or gas.use.count(use) > 1:
                yield Fault(
                    ("gas", position, "use"),
                    f"{gas.mixture} is already carried for {use}, as gas[{first + 1}]",
                    "each mixture once for each use",
                )
                break
        for name, use in (("travel_to", Use.TRAVEL), ("switch_at", Use.DECOMPRESSION)):
            if name == "switch_at" and Use.BAILOUT in gas.use:
                continue
            if gas.metres(f"{name}_{{}}", plan.units) is not None and use not in gas.use:
                yield Fault(
                    ("gas", position, f"{name}_{own}"),
                    f"belongs to a gas for {use}; this one is for "
                    f"{' and '.join(gas.use) or 'nothing'}",
                    f"travel_to_{own}, if it is left there on the way down"
                    if Use.TRAVEL in gas.use
                    else f'use = "{use}"',
                )
    on_a_loop = getattr(plan, "loop", None) or any(set(ON_A_LOOP) & set(g.use) for g in plan.gas)
    if not on_a_loop and not any(Use.BOTTOM in gas.use or not gas.use for gas in plan.gas):
        yield Fault(("gas",), "no gas is carried for the bottom", 'one [[gas]] with use = "bottom"')


def _gas_depths(plan: PlanTables) -> Iterator[Fault]:
    depths = [level.metres("depth_{}", plan.units) for level in plan.level]
    if not depths or None in depths:
        return
    deepest_m, first_m = max(map(_sure, depths)), _sure(depths[0])
    for position, gas in enumerate(plan.gas):
        for name, limit_m, level in (
            ("travel_to", first_m, "first"),
            ("switch_at", deepest_m, "deepest"),
        ):
            at_m = gas.metres(f"{name}_{{}}", plan.units)
            if at_m is not None and at_m > limit_m + _SLACK_LEVELS:
                yield Fault(
                    ("gas", position, f"{name}_{_suffix(plan.units)}"),
                    f"{_written(at_m, plan.units)} is deeper than the {level} level",
                    f"at most {_written(limit_m, plan.units)}",
                )
    given = [
        (at_m, position)
        for position, gas in enumerate(plan.gas)
        if Use.TRAVEL in gas.use and (at_m := gas.metres("travel_to_{}", plan.units)) is not None
    ]
    for (before_m, _), (at_m, position) in pairwise(given):
        if at_m <= before_m:
            yield Fault(
                ("gas", position, f"travel_to_{_suffix(plan.units)}"),
                f"{_written(at_m, plan.units)} is not deeper than the travel gas before it, "
                f"{_written(before_m, plan.units)}",
                "travel gases in the order in which they are breathed on the way down",
            )


def _steps(plan: PlanTables) -> Iterator[Fault]:
    own = _suffix(plan.units)
    step_m = _sure(plan.model.metres("stop_step_{}", plan.units))
    last_m = _sure(plan.model.metres("last_stop_{}", plan.units))
    levels = last_m / step_m
    if levels < 1 - _SLACK_LEVELS or abs(levels - round(levels)) > _SLACK_LEVELS:
        yield Fault(
            ("model", f"last_stop_{own}"),
            f"{_written(last_m, plan.units)} is no multiple of the step of "
            f"{_written(step_m, plan.units)}",
            _near_levels(last_m, step_m, plan.units),
        )


def _switch_levels(plan: PlanTables) -> Iterator[Fault]:
    step_m = _sure(plan.model.metres("stop_step_{}", plan.units))
    last_m = _sure(plan.model.metres("last_stop_{}", plan.units))
    for position, gas in enumerate(plan.gas):
        at_m = gas.metres("switch_at_{}", plan.units)
        if at_m is None:
            continue
        path = ("gas", position, f"switch_at_{_suffix(plan.units)}")
        shown = _written(at_m, plan.units)
        if abs(at_m / step_m - round(at_m / step_m)) > _SLACK_LEVELS:
            yield Fault(
                path,
                f"{shown} is no level: levels are {_written(step_m, plan.units)} apart",
                _near_levels(at_m, step_m, plan.units),
            )
        elif at_m < last_m - _SLACK_LEVELS:
            yield Fault(
                path,
                f"{shown} is above the last stop, {_written(last_m, plan.units)}",
                "the last stop or a level below it",
            )


def _near_levels(depth_m: float, step_m: float, units: UnitSystem) -> str:
    count = int(depth_m / step_m + _SLACK_LEVELS)
    near = [_written(n * step_m, units) for n in (count, count + 1) if n > 0]
    return " or ".join(near)


def _gradients(plan: PlanTables) -> Iterator[Fault]:
    low, high = plan.model.gradient_low_pct, plan.model.gradient_high_pct
    if low > high:
        name = "gradient_low_pct"
        if name not in plan.model.model_fields_set:
            name = "gradient_high_pct"
        yield Fault(
            ("model", name),
            f"the low gradient factor {low:g} is above the high one {high:g}",
            "low not above high, such as 30 and 80",
        )


def _water(plan: PlanTables) -> Iterator[Fault]:
    if plan.water.kind == "teos10" and plan.water.latitude_deg is None:
        yield Fault(
            ("water", "latitude_deg"),
            "is missing: the sea pressure of teos10 depends on it",
            'latitude_deg = 36, or kind = "sea"',
        )


def _adapted(plan: PlanTables) -> Iterator[Fault]:
    altitude_m = _sure(plan.water.metres("altitude_{}", plan.units))
    adapted_m = plan.diver.metres("adapted_altitude_{}", plan.units)
    if adapted_m is not None and adapted_m > altitude_m:
        yield Fault(
            ("diver", f"adapted_altitude_{_suffix(plan.units)}"),
            f"{_written(adapted_m, plan.units)} is above the water at "
            f"{_written(altitude_m, plan.units)}: the body takes up nitrogen on the way down to it",
            f"at most {_written(altitude_m, plan.units)}",
        )
    if adapted_m is not None and (plan.earlier or plan.carried):
        yield Fault(
            ("diver", f"adapted_altitude_{_suffix(plan.units)}"),
            "says nothing where the inert gas of an earlier dive is carried in",
            "only one of them",
        )


def _breaks(plan: PlanTables) -> Iterator[Fault]:
    if plan.breaks is None or plan.breaks.gas is None:
        return
    mix = Mixture.parse(plan.breaks.gas)
    carried = {gas.mixture for gas in plan.gas}
    if mix not in carried:
        names = ", ".join(str(other) for other in carried if other.o2 < 1.0)
        yield Fault(("breaks", "gas"), f"{mix} is not carried", f"one of the gases: {names}")
    elif mix.o2 >= 1.0:
        yield Fault(("breaks", "gas"), "a break from oxygen on oxygen is none", "a leaner gas")


def _one_past(plan: PlanTables) -> Iterator[Fault]:
    if plan.earlier and plan.carried:
        yield Fault(
            ("carried",),
            "stands beside [earlier], and both say what the dive before left",
            "one of the two",
        )


_CHECKS: Final[tuple[tuple[frozenset[str], Callable[[PlanTables], Iterator[Fault]]], ...]] = (
    (frozenset({"units"}), _wrong_units),
    (frozenset({"units", "level"}), _levels_complete),
    (frozenset({"units", "level", "gas", "diver", "ascent"}), _levels_in_time),
    (frozenset({"units", "gas"}), _gas_uses),
    (frozenset({"units", "gas", "level"}), _gas_depths),
    (frozenset({"units", "model"}), _steps),
    (frozenset({"units", "model", "gas"}), _switch_levels),
    (frozenset({"model"}), _gradients),
    (frozenset({"water"}), _water),
    (frozenset({"units", "water", "diver", "earlier", "carried"}), _adapted),
    (frozenset({"breaks", "gas"}), _breaks),
    (frozenset({"earlier", "carried"}), _one_past),
    *TEAM_CHECKS,
    *LOOP_CHECKS,
)
