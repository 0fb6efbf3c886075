"""Whether a diver's own bailout gas is enough, from every minute of a dive on a closed circuit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.dive.bailout import Bailout, bailout_of, moments_of
from slatewright.dive.finished import Finished
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from slatewright.supply.breathing import breathed_in_leg_mol, phase_of
from slatewright.supply.kit import Diver, Place, Team
from slatewright.supply.stores import stores_of

_NEAR_M: Final = 1e-6
_SLACK_MOL: Final = 1e-9


@dataclass(frozen=True, slots=True)
class BailoutNeed:
    """What a bailout from one minute takes of one gas, and what there is of it.

    Parameters
    ----------
    at_min, at_m
        Run time and depth at which the loop is left [min], [m].
    mix
        The gas.
    needed_mol
        What the ascent takes of it [mol].
    available_mol
        What may be breathed of it [mol].
    surfaced_min
        Run time at the surface [min].
    """

    at_min: float
    at_m: float
    mix: Mixture
    needed_mol: float
    available_mol: float
    surfaced_min: float

    @property
    def lacking_mol(self) -> float:
        """What is not there; below zero if there is more than enough [mol]."""
        return self.needed_mol - self.available_mol

    @property
    def enough(self) -> bool:
        """True if there is enough."""
        return self.lacking_mol <= _SLACK_MOL


def bailouts_of(dive: Finished, problem_min: float) -> tuple[Bailout, ...]:
    """Solve the bailout from every whole minute of a dive, as far as there is one.

    Parameters
    ----------
    dive
        The dive, on a closed circuit.
    problem_min
        Minutes on open circuit at the depth of the failure before the way up begins [min].

    Returns
    -------
    tuple
        In order of time; minutes from which nothing can be breathed are left out, as the hazard
        ``no-bailout`` tells of them.
    """
    minutes = [
        float(minute)
        for minute in range(1, math.ceil(dive.runtime_min))
        if dive.depth_at(float(minute)) > _NEAR_M
    ]
    return tuple(_solved(dive, minutes, problem_min))


def _solved(dive: Finished, minutes: Sequence[float], problem_min: float) -> Iterator[Bailout]:
    for moment in moments_of(dive, minutes):
        try:
            yield bailout_of(dive.plan, moment, problem_min=problem_min)
        except NoSafeAnswer:
            continue


def breathed_in_bailout_mol(
    bailout: Bailout, diver: Diver, water: Water, water_temperature_k: float | None = None
) -> dict[Mixture, float]:
    """Return what a diver breathes in a bailout.

    Parameters
    ----------
    bailout
        The ascent.
    diver
        Who makes it.
    water
        Pressure under water.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    dict
        Gas to amount [mol].

    Notes
    -----
    At the stressed RMV until the first stop or change of gas, then by phase as on any ascent: our
    choice, no published source.
    """
    sums: dict[Mixture, float] = {}
    for leg, rate in breaths_of(bailout, diver):
        amount = breathed_in_leg_mol(leg, rate, water, water_temperature_k)
        sums[leg.gas] = sums.get(leg.gas, 0.0) + amount
    return sums


def breaths_of(bailout: Bailout, diver: Diver) -> Iterator[tuple[Leg, float]]:
    """Return each leg of a bailout with the RMV [L/min] at which a diver breathes in it.

    Parameters
    ----------
    bailout
        The ascent.
    diver
        Who makes it; see `breathed_in_bailout_mol`.
    """
    stressed = True
    for leg in bailout.legs:
        if _ends_stress(leg):
            stressed = False
        yield leg, diver.rmv.stressed_l_per_min if stressed else diver.rmv.l_per_min(phase_of(leg))


def _ends_stress(leg: Leg) -> bool:
    return leg.kind is LegKind.STOP


def own_bailout(diver: Diver, team: Team, water: Water) -> dict[Mixture, float]:
    """Return what a diver may breathe of each gas on open circuit.

    Parameters
    ----------
    diver
        The diver.
    team
        Rules of reserve and temperature.
    water
        Pressure at the surface.

    Returns
    -------
    dict
        Gas to amount; what feeds the loop is not counted, nor what regulators cannot give [mol].
    """
    kit = open_kit(diver)
    held: dict[Mixture, float] = {}
    # wing and suit take the diluent's gas on a loop
    rules = replace(team.rules, inflation_free_l=0.0)
    for store in stores_of(kit, rules, water, team.water_temperature_k):
        held[store.mix] = held.get(store.mix, 0.0) + store.available_mol
    return held


def open_kit(diver: Diver) -> Diver:
    """Return a diver with those cylinders alone from which one can breathe.

    Parameters
    ----------
    diver
        The diver.
    """
    return replace(diver, kit=tuple(held for held in diver.kit if held.place is not Place.LOOP))


def bailout_needs(
    bailouts: Sequence[Bailout], diver: Diver, team: Team, water: Water
) -> tuple[BailoutNeed, ...]:
    """Return what each bailout takes of each gas, beside what a diver carries.

    Parameters
    ----------
    bailouts
        From `bailouts_of`.
    diver
        The diver, who shares with nobody.
    team
        Rules of reserve and temperature.
    water
        Pressure under water.

    Returns
    -------
    tuple
        In order of time.
    """
    held = own_bailout(diver, team, water)
    return tuple(
        BailoutNeed(
            bailout.moment.at_min,
            bailout.moment.at_m,
            mix,
            needed_mol,
            held.get(mix, 0.0),
            bailout.solution.runtime_min,
        )
        for bailout in bailouts
        for mix, needed_mol in breathed_in_bailout_mol(
            bailout, diver, water, team.water_temperature_k
        ).items()
    )


def scarcest(needs: Sequence[BailoutNeed]) -> dict[Mixture, BailoutNeed]:
    """Return for each gas the minute from which the bailout leaves the least of it.

    Parameters
    ----------
    needs
        From `bailout_needs`.
    """
    worst: dict[Mixture, BailoutNeed] = {}
    for need in needs:
        if need.mix not in worst or need.lacking_mol > worst[need.mix].lacking_mol + _SLACK_MOL:
            worst[need.mix] = need
    return worst
