"""Whether cylinders, people and gases of a plan file agree.

What needs the catalogue of cylinders or the house rules is not known here: see
`slatewright.supply.team`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.physics.units import UnitSystem
from slatewright.toml.faults import Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from slatewright.dive._plan_tables import PlanTables
    from slatewright.dive._plan_team import BreathingTable, CylinderTable, RigTable, SizeTable
    from slatewright.toml.lines import KeyPath

MOST_PARTNERS: Final = 2


def carriers(plan: PlanTables, cylinder: CylinderTable) -> tuple[str, ...]:
    """Return the names of those who carry such a cylinder.

    Parameters
    ----------
    plan
        The tables.
    cylinder
        One of its cylinders.
    """
    return (plan.diver.name,) if cylinder.diver is None else cylinder.diver


def people(plan: PlanTables) -> dict[str, tuple[KeyPath, BreathingTable]]:
    """Return the team by name, each with the way to its table and the table.

    Parameters
    ----------
    plan
        The tables.
    """
    team: dict[str, tuple[KeyPath, BreathingTable]] = {plan.diver.name: (("diver",), plan.diver)}
    for position, partner in enumerate(plan.partner):
        team.setdefault(partner.name, (("partner", position), partner))
    return team


def rigs(plan: PlanTables) -> dict[str, tuple[KeyPath, RigTable | None]]:
    """Return what each of the team floats and sinks with, by name, and the way to its table.

    Parameters
    ----------
    plan
        The tables.
    """
    team: dict[str, tuple[KeyPath, RigTable | None]] = {plan.diver.name: (("rig",), plan.rig)}
    for position, partner in enumerate(plan.partner):
        team.setdefault(partner.name, (("partner", position, "rig"), partner.rig))
    return team


def _names(plan: PlanTables) -> Iterator[Fault]:
    known = [plan.diver.name]
    for position, partner in enumerate(plan.partner):
        if partner.name in known:
            yield Fault(
                ("partner", position, "name"),
                f"there is already one called '{partner.name}'",
                "a name of its own for each of the team",
            )
        known.append(partner.name)
    if len(plan.partner) > MOST_PARTNERS:
        yield Fault(
            ("partner", MOST_PARTNERS),
            f"{len(plan.partner) + 1} divers are no team",
            "teams of two or three; a file for each",
        )
    if plan.partner and not plan.cylinder:
        yield Fault(
            ("partner", 0), "there are partners and no cylinders", "a [[cylinder]] for each gas"
        )
    for position, cylinder in enumerate(plan.cylinder):
        if cylinder.diver == ():
            yield Fault(("cylinder", position, "diver"), "the list is empty", "a name")
        for name in carriers(plan, cylinder):
            if name not in known:
                yield Fault(
                    ("cylinder", position, "diver"),
                    f"'{name}' is not of the team",
                    f"one of {', '.join(known)}, or a [[partner]] of that name",
                )
        if len(set(carriers(plan, cylinder))) < len(carriers(plan, cylinder)):
            yield Fault(
                ("cylinder", position, "diver"),
                "a name stands there twice",
                "each name once; a second cylinder in a table of its own",
            )


def _gases(plan: PlanTables) -> Iterator[Fault]:
    if not plan.cylinder:
        return
    planned = list(dict.fromkeys(gas.mixture for gas in plan.gas))
    for position, cylinder in enumerate(plan.cylinder):
        if cylinder.mixture not in planned and cylinder.place != "loop":
            yield Fault(
                ("cylinder", position, "gas"),
                f"{cylinder.mixture} is no gas of this plan",
                f"one of {', '.join(map(str, planned))}, or a [[gas]] with mix = "
                f'"{cylinder.mixture}"',
            )
    several = bool(plan.partner)
    on_a_loop = getattr(plan, "loop", None) is not None  # then who needs what is asked elsewhere
    for name, (path, _) in people(plan).items():
        held = {c.mixture for c in plan.cylinder if name in carriers(plan, c)}
        whose = f"{name} has" if several else "there is"
        if not held:
            yield Fault(path, f"{whose} no cylinder", f'[[cylinder]] with diver = "{name}"')
            continue
        for mix in () if on_a_loop else planned:
            if mix not in held:
                index = next(i for i, gas in enumerate(plan.gas) if gas.mixture == mix)
                who = f' and diver = "{name}"' if several else ""
                yield Fault(
                    ("gas", index),
                    f"{whose} no cylinder of {mix}",
                    f'[[cylinder]] with gas = "{mix}"{who}',
                )


def _cylinders(plan: PlanTables) -> Iterator[Fault]:
    own = "pressure_psi" if plan.units is UnitSystem.IMPERIAL else "pressure_bar"
    seen: dict[tuple[str, str], int] = {}
    for position, cylinder in enumerate(plan.cylinder):
        if cylinder.pressure_bar is None and cylinder.pressure_psi is None:
            yield Fault(
                ("cylinder", position, own),
                "is missing",
                f"{own} = the pressure on the gauge as filled",
            )
        for name in carriers(plan, cylinder):
            first = seen.setdefault((name, cylinder.called), position)
            if first != position:
                yield Fault(
                    ("cylinder", position, "label"),
                    f"{name} already has one called '{cylinder.called}', cylinder[{first + 1}]",
                    "a label of its own for each cylinder of a person",
                )


def _breathing(plan: PlanTables) -> Iterator[Fault]:
    if not plan.cylinder:
        return
    end = "cuft_per_min" if plan.units is UnitSystem.IMPERIAL else "l_per_min"
    for name, (path, table) in people(plan).items():
        rate = {
            phase: table.metric(f"rmv_{phase}_{{l}}_per_min", plan.units)
            for phase in ("swimming", "working", "resting", "stressed")
        }
        needed = ["swimming", "stressed", *(["working"] if table.works_at_depth else [])]
        for phase in needed:
            if rate[phase] is None:
                yield Fault(
                    (*path, f"rmv_{phase}_{end}"),
                    "is missing: there are cylinders",
                    f"rmv_{phase}_{end} = the breathing of {name}",
                )
        others = [figure for phase, figure in rate.items() if figure and phase != "stressed"]
        if rate["stressed"] is not None and rate["stressed"] < max(others, default=0.0):
            yield Fault(
                (*path, f"rmv_stressed_{end}"),
                "is below another RMV of the same person",
                "the highest of them; nobody breathes less when something has failed",
            )


def _rigs(plan: PlanTables) -> Iterator[Fault]:
    imperial = plan.units is UnitSystem.IMPERIAL
    mass, volume = ("lb", "cuft") if imperial else ("kg", "l")
    for name, (path, rig) in rigs(plan).items():
        if rig is None:
            continue
        if not plan.cylinder:
            yield Fault(path, "there is a rig and no cylinders", "a [[cylinder]] for each gas")
        for key, unit, own, right in (
            ("wing_lift_{kg}", "{kg}", mass, "what the wing lifts when full"),
            ("suit_gas_{l}", "{l}", volume, "the gas in the suit"),
            ("person_buoyancy_{kg}", "{kg}", mass, "the body and all else worn, below 0 if heavy"),
        ):
            if rig.metric(key, plan.units) is None:
                written = key.replace(unit, own)
                yield Fault((*path, written), "is missing", f"{written} = {right}, of {name}")


def _sizes(plan: PlanTables) -> Iterator[Fault]:
    names: list[str] = []
    for position, size in enumerate(plan.size):
        if size.name in names:
            yield Fault(
                ("size", position, "name"), f"'{size.name}' stands there twice", "each size once"
            )
        names.append(size.name)
        for key, what, right in _size_faults(size):
            yield Fault(("size", position, key), what, right)


def _size_faults(size: SizeTable) -> Iterator[tuple[str, str, str]]:
    if (size.water_volume_l is None) == (size.rated_cuft is None):
        both = "are both given" if size.rated_cuft is not None else "are both missing"
        yield "water_volume_l", f"water_volume_l and rated_cuft {both}", "one of the two"
    if (size.rated_cuft is None) != (size.rated_psi is None):
        yield "rated_psi", "rated_cuft and rated_psi go together", "both, such as 80 and 3000"
    if size.working_bar is not None and size.working_psi is not None:
        yield "working_psi", "the working pressure is given twice", "in bar or in psi"
    if size.working_bar is None and size.working_psi is None and size.rated_psi is None:
        yield "working_bar", "is missing", "the working pressure as stamped: working_bar = 232"
    if (size.empty_mass_kg is None) == (size.empty_mass_lb is None):
        yield "empty_mass_kg", "the mass is needed once", "empty_mass_kg, or empty_mass_lb"
    outside = (size.external_volume_l, size.buoyancy_empty_kg, size.buoyancy_empty_lb)
    if sum(figure is not None for figure in outside) != 1:
        yield (
            "external_volume_l",
            "what the cylinder displaces is needed once",
            "external_volume_l, or buoyancy_empty_kg, or buoyancy_empty_lb",
        )


TEAM_CHECKS: Final[tuple[tuple[frozenset[str], Callable[[PlanTables], Iterator[Fault]]], ...]] = (
    (frozenset({"diver", "partner", "cylinder"}), _names),
    (frozenset({"gas", "diver", "partner", "cylinder"}), _gases),
    (frozenset({"units", "diver", "partner", "cylinder"}), _cylinders),
    (frozenset({"units", "diver", "partner", "cylinder"}), _breathing),
    (frozenset({"units", "diver", "partner", "cylinder", "rig"}), _rigs),
    (frozenset({"size"}), _sizes),
)
