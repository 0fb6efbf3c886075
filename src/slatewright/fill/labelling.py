"""What stands on the label of a cylinder: the depth to which it may be breathed, before all else.

The depth is that of the gas as analysed, rounded towards the surface, at the ppO2 of what the gas
is breathed for. A gas of the stops is also allowed at the stop to which a house rule's tolerance
brings it within half a metre, as in the plan: oxygen at 6 m in salt water is 1.61 bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Plan, Use
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.checked import CheckedCylinder
from slatewright.fill.fillfile import FillFile
from slatewright.physics.limits import hypoxic_floor, operating_depth, oxygen_pressure
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import (
    Side,
    UnitSystem,
    depth_label,
    feet_from_m,
    m_from_feet,
    pressure_left_label,
    round_down,
)
from slatewright.physics.water import Water, WaterKind, water

_HALF_METRE: Final = 0.5
_FEET_STEP: Final = 10.0
_METRE_STEP: Final = 3.0
_ALL_ALIKE: Final = 1e-9
_PLACES: Final = {Use.BOTTOM: "at the bottom", Use.TRAVEL: "on the way down"}


@dataclass(frozen=True, slots=True)
class CylinderLabel:
    """The label of one cylinder.

    Parameters
    ----------
    cylinder
        How it is called.
    owner
        Whose it is; empty if not known.
    planned
        The mix that was planned.
    analysed
        The mix as analysed.
    helium_read
        Whether helium was analysed; nearly pure oxygen leaves no room for it.
    depth
        The depth to which it may be breathed, a whole number in the reader's unit, with the unit.
    limit
        At which ppO2 that is, and what decided so, in words.
    ppo2_bar
        The ppO2 at that depth [bar].
    not_above
        The depth from which down it may be breathed, with its unit; empty if it may anywhere.
    floor_bar
        The ppO2 that set it [bar].
    pressure
        What the gauge showed when it was analysed, with its unit.
    by, at
        Who analysed it, and when.
    title
        The dive or the fills that it belongs to.
    limit_bar
        The highest ppO2 that is allowed, before any tolerance [bar].
    water
        The water that the depths are of.
    """

    cylinder: str
    owner: str
    planned: Mixture
    analysed: Mixture
    helium_read: bool
    depth: str
    limit: str
    ppo2_bar: float
    not_above: str
    floor_bar: float
    pressure: str
    by: str
    at: datetime
    title: str
    limit_bar: float
    water: Water


def label_of(
    cylinder: CheckedCylinder, file: FillFile, rules: HouseRules, plan: Plan | None = None
) -> CylinderLabel:
    """Return the label of a cylinder that was analysed and accepted.

    Parameters
    ----------
    cylinder
        The cylinder.
    file
        The fill file, for units and altitude where there is no plan.
    rules
        The house rules, for limits where there is no plan.
    plan
        The plan, whose units, water and limits count.

    Returns
    -------
    CylinderLabel
        The label.

    Raises
    ------
    NoSafeAnswer
        If it was not accepted, or may be breathed at no depth.
    """
    if not cylinder.accepted:
        what = f"{cylinder.label}: was not accepted, and gets no label"
        raise NoSafeAnswer(*(cylinder.reasons or (Reason(what),)))
    mix = cylinder.analysis.mix
    units, column = file.units, _water_of(file)
    if plan is not None:
        units, column, rules = plan.units, plan.water, plan.rules
    use, limit_bar, source = _limit(cylinder, rules, plan)
    deepest_m, within = _deepest_m(mix, limit_bar, use, column, units, rules)
    ppo2_bar = oxygen_pressure(mix, deepest_m, column)
    tolerated = f", {ppo2_bar:.3f} within tolerance" if within else ""
    floor_m = hypoxic_floor(mix, rules.floor_bar, column)
    return CylinderLabel(
        cylinder=cylinder.label,
        owner=cylinder.owner,
        planned=cylinder.planned,
        analysed=mix,
        helium_read=cylinder.analysis.he is not None,
        depth=depth_label(deepest_m, units),
        limit=f"ppO2 {limit_bar:g} bar{tolerated}: {source}",
        ppo2_bar=ppo2_bar,
        not_above=depth_label(floor_m, units, side=Side.DEEP) if floor_m > 0.0 else "",
        floor_bar=rules.floor_bar,
        pressure=pressure_left_label(cylinder.analysis.gauge_bar, file.units),
        by=cylinder.analysis.by,
        at=cylinder.analysis.at,
        title=file.title if plan is None else plan.title,
        limit_bar=limit_bar,
        water=column,
    )


def _water_of(file: FillFile) -> Water:
    altitude_m = file.room.metres("altitude", file.units) or 0.0
    return water(WaterKind.EN13319, altitude_m=altitude_m)


def _limit(
    cylinder: CheckedCylinder, rules: HouseRules, plan: Plan | None
) -> tuple[Use, float, str]:
    """Return use, highest ppO2, and what decided; the lowest of several, and of unknown uses."""
    if plan is not None:
        carried = [gas for gas in plan.gases if gas.mix == cylinder.planned]
        if carried:
            gas = min(carried, key=lambda gas: gas.ppo2_max_bar)
            return gas.use, gas.ppo2_max_bar, f"the plan, {_place(gas.use)}"
    limits = {
        Use.BOTTOM: rules.ppo2_bottom_max_bar,
        Use.TRAVEL: rules.ppo2_bottom_max_bar,
        Use.DECOMPRESSION: rules.ppo2_stop_max_bar,
        Use.DILUENT: rules.ppo2_bottom_max_bar,
        Use.BAILOUT: rules.ppo2_stop_max_bar,
    }
    if cylinder.use is not None:
        return cylinder.use, limits[cylinder.use], f"house rule, {_place(cylinder.use)}"
    use = min(limits, key=lambda use: limits[use])
    return use, limits[use], "house rule; no use is named, so the lowest counts"


def _place(use: Use) -> str:
    return _PLACES.get(use, "at stops")


def _deepest_m(
    mix: Mixture,
    limit_bar: float,
    use: Use,
    column: Water,
    units: UnitSystem,
    rules: HouseRules,
) -> tuple[float, bool]:
    """Return the depth on the label [m], and whether the tolerance was used for it."""
    exact_m = operating_depth(mix, limit_bar, column)
    whole_m = _rounded_m(exact_m, units, 1.0)
    if use is not Use.DECOMPRESSION or rules.ppo2_tolerance_bar <= 0.0:
        return whole_m, False
    step = _METRE_STEP if units is UnitSystem.METRIC else _FEET_STEP
    tolerated_m = operating_depth(mix, limit_bar + rules.ppo2_tolerance_bar, column)
    stop_m = _rounded_m(tolerated_m, units, step)
    if whole_m < stop_m <= exact_m + _HALF_METRE:
        return stop_m, stop_m > exact_m + _ALL_ALIKE
    return whole_m, False


def _rounded_m(depth_m: float, units: UnitSystem, step: float) -> float:
    if units is UnitSystem.METRIC:
        return round_down(depth_m, step)
    return m_from_feet(round_down(feet_from_m(depth_m), step))
