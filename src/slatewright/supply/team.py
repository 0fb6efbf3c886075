"""From the tables of a plan file to the team: who breathes how, and carries what."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path

from slatewright.dive._plan_team import BreathingTable, CylinderTable, RigTable, SizeTable
from slatewright.dive._team_contradictions import carriers, people, rigs
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Use
from slatewright.dive.planfile import PlanFile
from slatewright.errors import InputError, PlanFileError
from slatewright.physics.constants import ZERO_CELSIUS_K
from slatewright.physics.limits import operating_depth
from slatewright.physics.units import KG_PER_POUND, Side, UnitSystem, bar_from_psi, depth_label
from slatewright.physics.water import FRESH_KG_PER_M3
from slatewright.supply.buoyancy import external_volume_by_buoyancy_l
from slatewright.supply.catalogue import cylinder_named
from slatewright.supply.cylinders import Cylinder, Material, need_working_pressure
from slatewright.supply.kit import Diver, KitCylinder, Place, ReserveRules, Rmv, Team, TurnRule
from slatewright.supply.rating import Rating, water_volume_of_rating_l
from slatewright.supply.rig import Rig, Suit
from slatewright.toml.faults import Fault, file_error, read_toml, where_of

_SLACK_M = 1e-6


def team_of(
    plan_file: PlanFile,
    rules: HouseRules | None = None,
    path: Path | None = None,
    text: str | None = None,
) -> Team | None:
    """Return the team of a plan file.

    Parameters
    ----------
    plan_file
        What the file says.
    rules
        The house rules, for the ppO2 that a gas may have where the file does not say so; None for
        the shipped ones.
    path
        The file, from which the lines of the faults are taken; None if there is none.
    text
        Its text, from which they are taken then; None to read the file.

    Returns
    -------
    Team or None
        None if the file names no cylinders.

    Raises
    ------
    PlanFileError
        With every fault: a size that is not known, a pressure above the working pressure, a gas
        that is to be breathed below its operating depth.
    """
    if not plan_file.cylinder:
        return None
    faults: list[Fault] = []
    sizes: dict[str, Cylinder | None] = {}
    for position, size in enumerate(plan_file.size):
        try:
            sizes[size.name] = _own_cylinder(size)
        except InputError as error:
            sizes[size.name] = None
            faults.append(Fault(("size", position, *_key_of(error, size)), error.what, error.right))
    made: list[KitCylinder | None] = []
    for position, table in enumerate(plan_file.cylinder):
        found = _carried(plan_file, table, sizes)
        if isinstance(found, KitCylinder):
            made.append(found)
            continue
        made.append(None)
        if found is not None:
            key, what, right = found
            faults.append(Fault(("cylinder", position, key), what, right))
    faults.extend(_too_deep(plan_file, rules or HouseRules()))
    if faults:
        raise _error(faults, path, text)
    return Team(
        divers=tuple(_divers(plan_file, [cylinder for cylinder in made if cylinder])),
        rules=_reserve(plan_file),
        water_temperature_k=_kelvin(plan_file.water.metric("temperature_{c}", plan_file.units)),
    )


def _error(faults: list[Fault], path: Path | None, text: str | None) -> PlanFileError:
    if text is None and path is not None:
        text, _ = read_toml(path)
    if text is not None:
        return file_error(faults, text, path)
    first, *others = (
        PlanFileError(fault.what, where=where_of(fault.path), right=fault.right) for fault in faults
    )
    return PlanFileError(first.what, where=first.where, right=first.right, others=tuple(others))


def _kelvin(celsius: float | None) -> float | None:
    return None if celsius is None else celsius + ZERO_CELSIUS_K


def _sure(value: float | None) -> float:
    """Return a quantity that validation has made sure of."""
    if value is None:
        raise ValueError("a quantity without value or default")
    return value


def _key_of(error: InputError, size: SizeTable) -> tuple[str, ...]:
    """Return the key of a size that an error speaks of, if the file has it."""
    named = {
        "working_gauge_bar": "working_bar" if size.working_psi is None else "working_psi",
        "empty_mass_kg": "empty_mass_kg" if size.empty_mass_lb is None else "empty_mass_lb",
    }.get(error.where, error.where)
    return (named,) if named in size.model_fields_set else ()


def _own_cylinder(size: SizeTable) -> Cylinder:
    volume_l = size.water_volume_l
    if volume_l is None:
        rated_psi = _sure(size.rated_psi)
        volume_l = water_volume_of_rating_l(_sure(size.rated_cuft), rated_psi, Rating(size.rating))
    working_bar = size.working_bar
    if working_bar is None:
        psi = size.rated_psi if size.working_psi is None else size.working_psi
        working_bar = bar_from_psi(_sure(psi))
    mass_kg = size.empty_mass_kg
    if mass_kg is None:
        mass_kg = _sure(size.empty_mass_lb) * KG_PER_POUND
    outside_l = size.external_volume_l
    if outside_l is None:
        buoyancy_kg = size.buoyancy_empty_kg
        if buoyancy_kg is None:
            buoyancy_kg = _sure(size.buoyancy_empty_lb) * KG_PER_POUND
        outside_l = external_volume_by_buoyancy_l(buoyancy_kg, mass_kg, FRESH_KG_PER_M3)
    return Cylinder(
        size.name,
        volume_l,
        working_bar,
        Material(size.material),
        mass_kg,
        outside_l,
        size.count,
    )


def _vessel(name: str, sizes: dict[str, Cylinder | None]) -> Cylinder | None:
    """Return a cylinder by its name, the person's own first; None for one that has a fault."""
    if name in sizes:
        return sizes[name]
    try:
        return cylinder_named(name)
    except InputError as error:
        near = get_close_matches(name, list(sizes), n=1, cutoff=0.6)
        own = f"perhaps your own '{near[0]}'; " if near else ""
        raise InputError(error.what, right=own + error.right) from None


def _carried(
    plan_file: PlanFile, table: CylinderTable, sizes: dict[str, Cylinder | None]
) -> KitCylinder | tuple[str, str, str] | None:
    """Return a cylinder, or its fault as key, what and right; None if its size has the fault."""
    try:
        vessel = _vessel(table.size, sizes)
    except InputError as error:
        return "size", error.what, error.right
    if vessel is None:
        return None
    gauge_bar = _sure(table.metric("pressure_{bar}", plan_file.units))
    try:
        need_working_pressure(vessel, gauge_bar)
    except InputError as error:
        key = "pressure_psi" if plan_file.units is UnitSystem.IMPERIAL else "pressure_bar"
        return key, error.what, error.right
    return KitCylinder(
        cylinder=vessel,
        mix=table.mixture,
        start_gauge_bar=gauge_bar,
        fill_temperature_k=_sure(_kelvin(table.metric("fill_temperature_{c}", plan_file.units))),
        place=Place(table.place),
        label=table.called,
    )


def _divers(plan_file: PlanFile, made: list[KitCylinder]) -> Iterator[Diver]:
    found = rigs(plan_file)
    for name, (_, table) in people(plan_file).items():
        kit = tuple(
            cylinder
            for cylinder, written in zip(made, plan_file.cylinder, strict=True)
            if name in carriers(plan_file, written)
        )
        yield Diver(
            name=name,
            units=table.gauge_units(plan_file.units),
            rmv=_rmv(table, plan_file.units),
            kit=kit,
            works_at_depth=table.works_at_depth,
            rig=_rig(found[name][1], plan_file.units),
        )


def _rig(table: RigTable | None, units: UnitSystem) -> Rig | None:
    if table is None:
        return None

    def kg(name: str) -> float:
        return _sure(table.metric(f"{name}_{{kg}}", units))

    return Rig(
        wing_lift_kg=kg("wing_lift"),
        droppable_kg=kg("droppable"),
        fixed_ballast_kg=kg("fixed_ballast"),
        suit=Suit(table.suit),
        suit_gas_l=_sure(table.metric("suit_gas_{l}", units)),
        person_buoyancy_kg=kg("person_buoyancy"),
        second_lift_kg=kg("second_lift"),
    )


def _rmv(table: BreathingTable, units: UnitSystem) -> Rmv:
    swimming = _sure(table.metric("rmv_swimming_{l}_per_min", units))
    working = table.metric("rmv_working_{l}_per_min", units)
    resting = table.metric("rmv_resting_{l}_per_min", units)
    return Rmv(
        swimming_l_per_min=swimming,
        working_l_per_min=swimming if working is None else working,
        resting_l_per_min=swimming if resting is None else resting,
        stressed_l_per_min=_sure(table.metric("rmv_stressed_{l}_per_min", units)),
    )


def _reserve(plan_file: PlanFile) -> ReserveRules:
    table, units = plan_file.reserve, plan_file.units
    return ReserveRules(
        turn_rule=TurnRule(table.turn_rule),
        problem_min=table.problem_min,
        two_tasks_min=table.two_tasks_min,
        decompression_factor=table.decompression_factor,
        inflation_free_l=_sure(table.metric("inflation_{l}", units)),
        surface_swim_min=table.surface_swim_min,
        residual_gauge_bar=_sure(table.metric("residual_{bar}", units)),
    )


def _too_deep(plan_file: PlanFile, rules: HouseRules) -> Iterator[Fault]:
    """Find gases that the file has breathed below their operating depth."""
    units, water = plan_file.units, plan_file.column()
    end = "ft" if units is UnitSystem.IMPERIAL else "m"
    for position, gas in enumerate(plan_file.gas):
        for use, name, rule_bar in (
            (Use.TRAVEL, "travel_to", rules.ppo2_bottom_max_bar),
            (Use.DECOMPRESSION, "switch_at", rules.ppo2_stop_max_bar),
        ):
            at_m = gas.metres(f"{name}_{{}}", units)
            if use not in gas.use or at_m is None:
                continue
            limit_bar = rule_bar if gas.ppo2_max_bar is None else gas.ppo2_max_bar
            deepest_m = operating_depth(gas.mixture, limit_bar + rules.ppo2_tolerance_bar, water)
            if at_m > deepest_m + _SLACK_M:
                yield Fault(
                    ("gas", position, f"{name}_{end}"),
                    f"{depth_label(at_m, units, side=Side.DEEP)} is over the operating depth of "
                    f"{gas.mixture}, {depth_label(deepest_m, units)} at {limit_bar:g} bar",
                    f"at most {depth_label(deepest_m, units)}, or a leaner gas",
                )
