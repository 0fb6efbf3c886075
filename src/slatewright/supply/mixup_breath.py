"""What the wrong gas does to a diver who breathes it: how bad, and with which figures."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Final

from slatewright.decompression.ceiling import ceiling_of
from slatewright.dive.finished import Finished
from slatewright.dive.hazard import Severity
from slatewright.dive.plan import Plan
from slatewright.physics.density import gas_density
from slatewright.physics.limits import oxygen_pressure
from slatewright.physics.mixture import Mixture
from slatewright.physics.narcosis import narcotic_depth
from slatewright.supply.mixup_moments import Handling, Moment

GRAVE_BAR: Final = 2.0
DEADLY_BAR: Final = 3.0
"""Above these a convulsion is likely while the gas is breathed, or within minutes [bar]: common
practice, no published source; how soon differs from person to person and from day to day."""
GRAVE_FLOOR_BAR: Final = 0.16
DEADLY_FLOOR_BAR: Final = 0.12
"""Below these thought fails, or consciousness goes without warning [bar]: common practice, no
published source."""
_SLACK: Final = 1e-9
_NEAR_M: Final = 0.05
_NEAR_MIN: Final = 1e-6
_RISING: Final = {Handling.PICK_UP, Handling.CHANGE_UP, Handling.BREAK, Handling.BACK}


class Harm(IntEnum):
    """How bad it is to breathe the wrong gas, from nothing to deadly."""

    DIFFERENT = 0
    OVER_LIMIT = 1
    GRAVE = 2
    DEADLY = 3

    @property
    def severity(self) -> Severity:
        """The same as a hazard's severity."""
        if self >= Harm.GRAVE:
            return Severity.DANGER
        return Severity.WARNING if self is Harm.OVER_LIMIT else Severity.NOTE


@dataclass(frozen=True, slots=True)
class WrongBreath:
    """The wrong gas, breathed from a moment on until the next change of gas.

    Parameters
    ----------
    ppo2_bar, density_g_per_l, narcotic_m
        At the moment itself: ppO2 [bar], density [g/L], equivalent narcotic depth [m].
    highest_ppo2_bar, highest_at_m
        The highest ppO2 until the next change, and where [bar], [m].
    lowest_ppo2_bar, lowest_at_m
        The lowest [bar], [m].
    above_ceiling_m
        The most by which the diver who holds the planned times would be above the ceiling then; 0
        if never [m].
    harm
        How bad.
    """

    ppo2_bar: float
    density_g_per_l: float
    narcotic_m: float
    highest_ppo2_bar: float
    highest_at_m: float
    lowest_ppo2_bar: float
    lowest_at_m: float
    above_ceiling_m: float
    harm: Harm

    @property
    def hypoxic(self) -> bool:
        """True if too little oxygen is what harms most."""
        return harm_of_too_little(self.lowest_ppo2_bar, GRAVE_FLOOR_BAR) > harm_of_too_much(
            self.highest_ppo2_bar, DEADLY_BAR
        )


def harm_of_too_much(ppo2_bar: float, limit_bar: float) -> Harm:
    """Return how bad a high ppO2 is.

    Parameters
    ----------
    ppo2_bar
        The highest ppO2 breathed [bar].
    limit_bar
        The highest that is allowed, tolerance included [bar].

    Returns
    -------
    Harm
        Never less for a higher ppO2.
    """
    if ppo2_bar > DEADLY_BAR + _SLACK:
        return Harm.DEADLY
    if ppo2_bar > GRAVE_BAR + _SLACK:
        return Harm.GRAVE
    return Harm.OVER_LIMIT if ppo2_bar > limit_bar + _SLACK else Harm.DIFFERENT


def harm_of_too_little(ppo2_bar: float, floor_bar: float) -> Harm:
    """Return how bad a low ppO2 is.

    Parameters
    ----------
    ppo2_bar
        The lowest ppO2 breathed [bar].
    floor_bar
        The lowest that is allowed [bar].

    Returns
    -------
    Harm
        Never less for a lower ppO2.
    """
    if ppo2_bar < DEADLY_FLOOR_BAR - _SLACK:
        return Harm.DEADLY
    if ppo2_bar < GRAVE_FLOOR_BAR - _SLACK:
        return Harm.GRAVE
    return Harm.OVER_LIMIT if ppo2_bar < floor_bar - _SLACK else Harm.DIFFERENT


def breathe_wrongly(dive: Finished, moment: Moment, wrong: Mixture) -> WrongBreath | None:
    """Work out what happens if another gas is breathed at a moment.

    Parameters
    ----------
    dive
        The finished dive.
    moment
        When, where, and which gas is meant.
    wrong
        The gas that is breathed instead, until the next change.

    Returns
    -------
    WrongBreath or None
        None if it is the gas that is meant, or if nothing is breathed at this moment.
    """
    if wrong == moment.gas or not moment.breathes:
        return None
    plan = dive.plan
    rules, water = plan.rules, plan.water
    highest_bar = oxygen_pressure(wrong, moment.deepest_m, water)
    lowest_bar = oxygen_pressure(wrong, moment.shallowest_m, water)
    density = gas_density(wrong, moment.at_m, water, temperature_c=rules.density_temperature_c)
    worst_density = gas_density(
        wrong, moment.deepest_m, water, temperature_c=rules.density_temperature_c
    )
    above_m = _above_ceiling_m(dive, moment, wrong)
    limit_bar = rules.ppo2_stop_max_bar if moment.handling in _RISING else rules.ppo2_bottom_max_bar
    harm = max(
        harm_of_too_much(highest_bar, limit_bar + rules.ppo2_tolerance_bar),
        harm_of_too_little(lowest_bar, rules.floor_bar),
        _harm_of_the_rest(plan, worst_density, _narcotic_m(plan, wrong, moment.deepest_m)),
        _harm_of_ceiling(above_m, plan.settings.stop_step_m),
    )
    return WrongBreath(
        ppo2_bar=oxygen_pressure(wrong, moment.at_m, water),
        density_g_per_l=density,
        narcotic_m=_narcotic_m(plan, wrong, moment.at_m),
        highest_ppo2_bar=highest_bar,
        highest_at_m=moment.deepest_m,
        lowest_ppo2_bar=lowest_bar,
        lowest_at_m=moment.shallowest_m,
        above_ceiling_m=above_m,
        harm=harm,
    )


def _narcotic_m(plan: Plan, wrong: Mixture, depth_m: float) -> float:
    counted = plan.rules.oxygen_narcotic
    return narcotic_depth(wrong, depth_m, plan.water, oxygen_narcotic=counted)


def _harm_of_the_rest(plan: Plan, density_g_per_l: float, narcotic_m: float) -> Harm:
    dense = density_g_per_l > plan.rules.density_max_g_per_l + _SLACK
    dull = narcotic_m > plan.narcotic_limit_m + _NEAR_M
    return Harm.OVER_LIMIT if dense or dull else Harm.DIFFERENT


def _harm_of_ceiling(above_m: float, step_m: float) -> Harm:
    """One level of stops missed is grave: our own grading, no published source."""
    if above_m >= step_m - _NEAR_M:
        return Harm.GRAVE
    return Harm.OVER_LIMIT if above_m > 0.0 else Harm.DIFFERENT


def _above_ceiling_m(dive: Finished, moment: Moment, wrong: Mixture) -> float:
    """Return how far above the ceiling the planned times lead if they are held on the wrong gas."""
    if moment.handling not in _RISING:
        return 0.0  # what the wrong gas does to the stops shows only later, and worse comes first
    legs, seen = [], []
    for leg in dive.legs:
        if leg.start_min >= moment.until_min - _NEAR_MIN:
            break
        within = leg.start_min >= moment.at_min - _NEAR_MIN
        legs.append(replace(leg, gas=wrong) if within else leg)
        if within:
            seen.append(leg)
    ceiling = ceiling_of(legs, dive.plan.settings, dive.plan.water, dive.start, dive.first_stop_m)
    above_m = 0.0
    for at_min, ceiling_m in ceiling:
        here = next((leg for leg in seen if leg.start_min <= at_min <= leg.end_min), None)
        if here is not None:
            share = (at_min - here.start_min) / here.minutes if here.minutes else 1.0
            above_m = max(above_m, ceiling_m - (here.from_m + share * (here.to_m - here.from_m)))
    return above_m if above_m > _NEAR_M else 0.0
