"""Each diver's loop over a dive: gas that passed through it, its cylinders, absorbent, bailout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slatewright.dive.loop import Loop
from slatewright.dive.schedule import Schedule
from slatewright.physics.constants import ZERO_CELSIUS_K
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.supply.consumption import CylinderUse, Occasion, Reading
from slatewright.supply.cylinders import contents_mol
from slatewright.supply.kit import Diver, KitCylinder, Team
from slatewright.supply.loop import LoopUse, charge_loop, loop_stores, loop_use, works_in
from slatewright.supply.loop_bailout import BailoutNeed, bailout_needs, bailouts_of, scarcest


@dataclass(frozen=True, slots=True)
class Scrubber:
    """How much of the absorbent a dive takes.

    Parameters
    ----------
    work
        The hardest work of the dive.
    lasts_min
        What is stated for it in this water; None if nothing is [min].
    used_min
        Minutes that were breathed on it before [min].
    breathed_min
        Minutes of this dive, the swim at the surface included [min].
    reserve_min
        Minutes that are kept back [min].
    """

    work: str
    lasts_min: float | None
    used_min: float
    breathed_min: float
    reserve_min: float

    @property
    def left_min(self) -> float | None:
        """What is left at the end, the reserve included; None if nothing is stated [min]."""
        if self.lasts_min is None:
            return None
        return self.lasts_min - self.used_min - self.breathed_min


@dataclass(frozen=True)
class DiverLoop:
    """A diver's loop over a dive.

    Parameters
    ----------
    diver
        The diver.
    use
        What passed through the loop.
    cylinders
        What feeds it, diluent first.
    available_mol
        What each gas that feeds it can give in all [mol].
    scrubber
        The absorbent.
    bailout
        For each bailout gas the minute from which the ascent leaves the least of it.
    """

    diver: Diver
    use: LoopUse
    cylinders: tuple[CylinderUse, ...]
    available_mol: dict[Mixture, float]
    scrubber: Scrubber
    bailout: tuple[BailoutNeed, ...]


def divers_of(schedule: Schedule, team: Team, loop: Loop) -> tuple[DiverLoop, ...]:
    """Return each diver's loop over a dive.

    Parameters
    ----------
    schedule, team
        As for `loop_supply`.
    loop
        The closed circuit.
    """
    water, kelvin = schedule.plan.water, team.water_temperature_k
    bailouts = bailouts_of(schedule, team.rules.problem_min)
    found = []
    for diver in team.divers:
        use = _use_of(schedule, team, loop, diver)
        stores = loop_stores(diver, team.rules, water, kelvin)
        available = {
            mix: sum(store.available_mol for store in stores if store.mix == mix)
            for mix in dict.fromkeys(store.mix for store in stores)
        }
        needs = bailout_needs(bailouts, diver, team, water)
        found.append(
            DiverLoop(
                diver,
                use,
                charge_loop(use, diver, team.rules, water, kelvin),
                available,
                scrubber_of(loop, use, works_at_depth=diver.works_at_depth, kelvin=kelvin),
                tuple(scarcest(needs).values()),
            )
        )
    return tuple(found)


def _use_of(schedule: Schedule, team: Team, loop: Loop, diver: Diver) -> LoopUse:
    water, kelvin = schedule.plan.water, team.water_temperature_k
    return loop_use(schedule.legs, loop, diver, team.rules, water, kelvin)


def kits_of(
    schedule: Schedule, team: Team, loop: Loop
) -> tuple[tuple[Diver, tuple[CylinderUse, ...]], ...]:
    """Return each diver with what a dive on a closed circuit does to every cylinder along.

    Parameters
    ----------
    schedule, team, loop
        As for `divers_of`, which looks at bailout too and takes its time for it.
    """
    water, kelvin = schedule.plan.water, team.water_temperature_k
    return tuple(
        (
            diver,
            whole_kit(
                diver,
                charge_loop(_use_of(schedule, team, loop, diver), diver, team.rules, water, kelvin),
            ),
        )
        for diver in team.divers
    )


def whole_kit(diver: Diver, feeding: Sequence[CylinderUse]) -> tuple[CylinderUse, ...]:
    """Return what a dive as planned does to every cylinder of a diver, in the order of the kit.

    Parameters
    ----------
    diver
        The diver.
    feeding
        What it does to those that feed the loop; bailout comes back as it went, for as long as
        nobody needs it.
    """
    used = {use.carried.label: use for use in feeding}
    return tuple(used.get(carried.label) or _untouched(carried) for carried in diver.kit)


def _untouched(carried: KitCylinder) -> CylinderUse:
    amount_mol = contents_mol(
        carried.cylinder, carried.mix, carried.start_gauge_bar, carried.fill_temperature_k
    )
    free_l = free_litres(carried.mix, amount_mol)
    reading = Reading(Occasion.START, 0.0, 0.0, amount_mol, free_l, carried.start_gauge_bar)
    return CylinderUse(carried, (reading,), 0.0, 0.0)


def scrubber_of(
    loop: Loop, use: LoopUse, *, works_at_depth: bool, kelvin: float | None
) -> Scrubber:
    """Return how much of the absorbent a dive takes.

    Parameters
    ----------
    loop
        What is stated of it.
    use
        How long it was breathed.
    works_at_depth
        True if the stay at depth is work.
    kelvin
        Temperature of the water, None if unknown [K].
    """
    work = works_in([part.leg for part in use.legs], works_at_depth=works_at_depth)
    celsius = None if kelvin is None else kelvin - ZERO_CELSIUS_K
    return Scrubber(
        work=work,
        lasts_min=loop.scrubber_min(work, celsius),
        used_min=loop.scrubber_used_min,
        breathed_min=use.minutes,
        reserve_min=loop.scrubber_reserve_min,
    )
