"""Whether the closed circuit of a plan file agrees with itself, the gases and the cylinders.

What needs the house rules is not known here: see `slatewright.dive.loop_way`.
"""

from __future__ import annotations

from itertools import permutations
from typing import TYPE_CHECKING, Final

from slatewright.dive._team_contradictions import carriers, people
from slatewright.dive.plan import Use
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, feet_from_m
from slatewright.physics.water import water
from slatewright.toml.faults import Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from slatewright.dive._plan_loop import LoopTable, SetpointTable
    from slatewright.dive._plan_tables import PlanTables
    from slatewright.dive._plan_team import CylinderTable

LOOP_PLACE: Final = "loop"
ON_A_LOOP: Final = (Use.DILUENT, Use.BAILOUT)
_SUPPLY_OXYGEN: Final = 0.99
"""What feeds a loop with oxygen holds at least this much of it [-]."""
_NEAR_M: Final = 1e-6
_NEAR_BAR: Final = 1e-9


def feeds_oxygen(mix: Mixture) -> bool:
    """Return whether a mixture is oxygen, as a loop is fed with.

    Parameters
    ----------
    mix
        The mixture.
    """
    return mix.o2 >= _SUPPLY_OXYGEN


def _said(depth_m: float, units: UnitSystem) -> str:
    if units is UnitSystem.IMPERIAL:
        return f"{round(feet_from_m(depth_m), 3):g} ft"
    return f"{round(depth_m, 3):g} m"


def _end(plan: PlanTables) -> str:
    return "ft" if plan.units is UnitSystem.IMPERIAL else "m"


def _uses(plan: PlanTables) -> Iterator[Fault]:
    """Look for gases of the other kind of dive."""
    for position, gas in enumerate(plan.gas):
        wrong = [use for use in gas.use if (use in ON_A_LOOP) is (plan.loop is None)]
        if not wrong:
            continue
        what = " and ".join(wrong)
        if plan.loop is None:
            yield Fault(
                ("gas", position, "use"),
                f"{gas.mixture} is carried for {what}, and there is no [loop]",
                'use = "bottom", "travel" or "decompression", or a [loop]',
            )
        else:
            yield Fault(
                ("gas", position, "use"),
                f"{gas.mixture} is carried for {what}, and the dive is made on a [loop]",
                'use = "diluent" or "bailout"',
            )


def _gases(plan: PlanTables) -> Iterator[Fault]:
    loop = plan.loop
    if loop is None:
        return
    diluents = [i for i, gas in enumerate(plan.gas) if Use.DILUENT in gas.use]
    wanted = Mixture.parse(loop.diluent)
    if wanted not in [plan.gas[i].mixture for i in diluents]:
        yield Fault(
            ("loop", "diluent"),
            f"{wanted} is no diluent among the gases",
            f'[[gas]] with mix = "{wanted}" and use = "diluent"',
        )
    for i in diluents:
        if plan.gas[i].mixture != wanted:
            yield Fault(
                ("gas", i, "use"),
                f"{plan.gas[i].mixture} is a second diluent; the loop has {wanted}",
                'use = "bailout", or another diluent in [loop]',
            )
    if not any(Use.BAILOUT in gas.use for gas in plan.gas):
        yield Fault(
            ("gas",),
            "no gas is carried for bailout: a loop that fails leaves nothing to breathe",
            'one [[gas]] with use = "bailout" at least',
        )
    if plan.breaks is not None:
        yield Fault(
            ("breaks",),
            "breaks from oxygen are for open circuit, and the dive is made on a [loop]",
            "a lower setpoint in setpoint_up",
        )


def _setpoints(plan: PlanTables) -> Iterator[Fault]:
    loop = plan.loop
    if loop is None:
        return
    if not loop.setpoint_down:
        yield Fault(
            ("loop", "setpoint_down"), "the list is empty", "[{ bar = 0.7 }], from the surface on"
        )
    yield from _order(plan, "setpoint_down", loop.setpoint_down, rising=False)
    yield from _order(plan, "setpoint_up", loop.setpoint_up, rising=True)


def _order(
    plan: PlanTables, name: str, entries: tuple[SetpointTable, ...], *, rising: bool
) -> Iterator[Fault]:
    own = f"from_{_end(plan)}"
    before_m: float | None = None
    for position, entry in enumerate(entries):
        at_m = entry.metres("from_{}", plan.units)
        path = ("loop", name, position)
        if position == 0:
            if at_m is not None:
                where = "leaving the bottom" if rising else "the surface"
                yield Fault(
                    (*path, own), f"the first entry holds from {where} on", "no depth in it"
                )
            continue
        if at_m is None:
            yield Fault((*path, own), "is missing", f"{own} = the depth from which on it holds")
        elif before_m is not None and (at_m >= before_m if rising else at_m <= before_m):
            yield Fault(
                (*path, own),
                f"{_said(at_m, plan.units)} does not come after {_said(before_m, plan.units)}",
                "entries in the order in which they come on the way"
                + (" up" if rising else " down"),
            )
        before_m = before_m if at_m is None else at_m


def _depths(plan: PlanTables) -> Iterator[Fault]:
    """Look for setpoints beyond the stays, off the levels, or out of reach where they begin."""
    loop = plan.loop
    depths = [level.metres("depth_{}", plan.units) for level in plan.level]
    known_m = [depth for depth in depths if depth is not None]
    if loop is None or not known_m or len(known_m) < len(depths):
        return
    surface_m = plan.water.metres("altitude_{}", plan.units) or 0.0
    column = water(
        plan.water.kind,
        altitude_m=surface_m,
        latitude_deg=plan.water.latitude_deg or 0.0,
        deepest_m=max(known_m),
    )
    own = f"from_{_end(plan)}"

    def unreachable(bar: float, at_m: float, path: tuple[str | int, ...]) -> Iterator[Fault]:
        ambient_bar = column.ambient_bar(at_m)
        if bar > ambient_bar + _NEAR_BAR:
            where = "the surface" if at_m <= _NEAR_M else _said(at_m, plan.units)
            yield Fault(
                path,
                f"{bar:g} bar cannot be had at {where}, where all pressure is "
                f"{ambient_bar:.2f} bar",
                f"at most {int(ambient_bar * 10.0) / 10.0:g} there"
                if at_m <= _NEAR_M
                else f"a lower setpoint there, or {own} deeper",
            )

    for position, entry in enumerate(loop.setpoint_down):
        at_m = entry.metres("from_{}", plan.units) or 0.0
        path = ("loop", "setpoint_down", position)
        if at_m >= known_m[0] - _NEAR_M:
            yield Fault(
                (*path, own),
                f"{_said(at_m, plan.units)} is not above the first stay, "
                f"{_said(known_m[0], plan.units)}, from which on setpoint_bottom_bar holds",
                f"above {_said(known_m[0], plan.units)}",
            )
        yield from unreachable(entry.bar, at_m, (*path, "bar"))
    yield from unreachable(loop.setpoint_bottom_bar, min(known_m), ("loop", "setpoint_bottom_bar"))
    step_m = plan.model.metres("stop_step_{}", plan.units) or 1.0
    last_m = plan.model.metres("last_stop_{}", plan.units) or step_m
    for position, entry in enumerate(loop.setpoint_up[1:], start=1):
        at_m = entry.metres("from_{}", plan.units) or 0.0
        if at_m <= 0.0:
            continue  # said already
        path = ("loop", "setpoint_up", position)
        levels = at_m / step_m
        if abs(levels - round(levels)) > _NEAR_M or at_m < last_m - _NEAR_M:
            yield Fault(
                (*path, own),
                f"{_said(at_m, plan.units)} is no level at which a stop may be made",
                f"a multiple of {_said(step_m, plan.units)}, {_said(last_m, plan.units)} or deeper",
            )
        elif at_m >= known_m[-1] - _NEAR_M:
            yield Fault(
                (*path, own),
                f"{_said(at_m, plan.units)} is not above the last stay, "
                f"{_said(known_m[-1], plan.units)}",
                f"above {_said(known_m[-1], plan.units)}",
            )
        yield from unreachable(entry.bar, at_m, (*path, "bar"))


def _needed(plan: PlanTables) -> Iterator[Fault]:
    """Look for what the count of gas needs; a plan without cylinders does not."""
    loop = plan.loop
    if loop is None or not plan.cylinder:
        return
    imperial = plan.units is UnitSystem.IMPERIAL
    litres, rate = ("cuft", "cuft_per_min") if imperial else ("l", "l_per_min")
    works = any(table.works_at_depth for _, table in people(plan).values())
    for name, key, right in (
        ("volume_{l}", f"volume_{litres}", "the gas in loop and lungs"),
        (
            "oxygen_swimming_{l}_per_min",
            f"oxygen_swimming_{rate}",
            "the oxygen that a diver uses up",
        ),
        *(
            [
                (
                    "oxygen_working_{l}_per_min",
                    f"oxygen_working_{rate}",
                    "the same at work, as somebody works at depth",
                )
            ]
            if works
            else []
        ),
    ):
        if loop.metric(name, plan.units) is None:
            yield Fault(("loop", key), "is missing: there are cylinders", f"{key} = {right}")
    if not loop.scrubber:
        yield Fault(
            ("loop", "scrubber"),
            "is missing: there are cylinders",
            'scrubber = [{ work = "working", lasts_min = ... }], as the maker states it',
        )
    yield from _rates(plan, loop)


def _rates(plan: PlanTables, loop: LoopTable) -> Iterator[Fault]:
    rate = "cuft_per_min" if plan.units is UnitSystem.IMPERIAL else "l_per_min"
    used = {
        phase: loop.metric(f"oxygen_{phase}_{{l}}_per_min", plan.units)
        for phase in ("resting", "swimming", "working")
    }
    for light, hard in (("resting", "swimming"), ("swimming", "working"), ("resting", "working")):
        less, more = used[light], used[hard]
        if less is not None and more is not None and less > more:
            yield Fault(
                ("loop", f"oxygen_{light}_{rate}"),
                f"is more than oxygen_{hard}_{rate}",
                f"nobody uses up more {light} than {hard}",
            )


def _rows(plan: PlanTables) -> Iterator[Fault]:
    """Look for statements on the absorbent that contradict one another."""
    if plan.loop is None:
        return
    order = {"resting": 0, "swimming": 1, "working": 2}
    rows = [
        (order[row.work], row.metric("water_temperature_{c}", plan.units), row.lasts_min)
        for row in plan.loop.scrubber
    ]
    for (i, (work, water_c, lasts)), (j, (harder, colder_c, longer)) in permutations(
        enumerate(rows), 2
    ):
        as_cold = colder_c is None or (water_c is not None and colder_c <= water_c)
        if harder >= work and as_cold and longer > lasts:
            yield Fault(
                ("loop", "scrubber", i, "lasts_min"),
                f"{lasts:g} min are less than the {longer:g} min of scrubber[{j + 1}], which is "
                "for work as hard in water as cold",
                "no less in lighter work or warmer water",
            )


def _cylinders(plan: PlanTables) -> Iterator[Fault]:
    """Look for cylinders that feed no loop, or feed it with something else."""
    for position, cylinder in enumerate(plan.cylinder):
        if cylinder.place != LOOP_PLACE:
            continue
        if plan.loop is None:
            yield Fault(
                ("cylinder", position, "place"),
                "it feeds a loop, and the plan has none",
                'place = "back", "left", "right" or "stage", or a [loop]',
            )
        elif not feeds_oxygen(cylinder.mixture) and cylinder.mixture != Mixture.parse(
            plan.loop.diluent
        ):
            yield Fault(
                ("cylinder", position, "gas"),
                f"{cylinder.mixture} is neither oxygen nor the diluent, {plan.loop.diluent}",
                f'"O2", "{plan.loop.diluent}", or another place',
            )
    if plan.loop is not None and plan.cylinder:
        yield from _kits(plan, Mixture.parse(plan.loop.diluent))


def _kits(plan: PlanTables, diluent: Mixture) -> Iterator[Fault]:
    """Look for people without oxygen, diluent or a bailout gas."""
    several = bool(plan.partner)
    for name, (path, _) in people(plan).items():
        own = [c for c in plan.cylinder if name in carriers(plan, c)]
        whose = f"{name} has" if several else "there is"
        who = f' and diver = "{name}"' if several else ""
        if not own:
            continue  # said already
        if not any(_feeds(c) and feeds_oxygen(c.mixture) for c in own):
            yield Fault(
                path,
                f"{whose} no oxygen that feeds the loop",
                f'[[cylinder]] with gas = "O2", place = "loop"{who}',
            )
        if not any(_feeds(c) and c.mixture == diluent for c in own):
            yield Fault(
                path,
                f"{whose} no diluent that feeds the loop",
                f'[[cylinder]] with gas = "{diluent}", place = "loop"{who}',
            )
        for position, gas in enumerate(plan.gas):
            open_circuit = any(not _feeds(c) and c.mixture == gas.mixture for c in own)
            if Use.BAILOUT in gas.use and not open_circuit:
                yield Fault(
                    ("gas", position),
                    f"{whose} no cylinder of {gas.mixture} to breathe from",
                    f'[[cylinder]] with gas = "{gas.mixture}" and a place other than "loop"{who}',
                )


def _feeds(cylinder: CylinderTable) -> bool:
    return cylinder.place == LOOP_PLACE


LOOP_CHECKS: Final[tuple[tuple[frozenset[str], Callable[[PlanTables], Iterator[Fault]]], ...]] = (
    (frozenset({"gas", "loop"}), _uses),
    (frozenset({"gas", "loop", "breaks"}), _gases),
    (frozenset({"units", "loop"}), _setpoints),
    (frozenset({"units", "loop", "level", "model", "water"}), _depths),
    (frozenset({"units", "loop", "cylinder", "diver", "partner"}), _needed),
    (frozenset({"units", "loop"}), _rows),
    (frozenset({"loop", "cylinder", "diver", "partner", "gas"}), _cylinders),
)
