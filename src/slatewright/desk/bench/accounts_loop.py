"""How the figures of a closed circuit came about: its cylinders, absorbent, bailout."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from slatewright.desk.bench.accounts_gas import breathed_row
from slatewright.desk.bench.figures import name_of
from slatewright.desk.bench.result import Result
from slatewright.desk.legs import minutes_words
from slatewright.desk.workings import Account, Row, Shown
from slatewright.dive.bailout import bailout_from
from slatewright.errors import InputError
from slatewright.paper.reading import depth_text, minutes_up
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import (
    pressure_left_label,
    volume_left_label,
    volume_needed_label,
)
from slatewright.supply.consumption import CylinderUse, Occasion
from slatewright.supply.loop import is_oxygen, oxygen_l_per_min
from slatewright.supply.loop_bailout import breaths_of
from slatewright.supply.loop_divers import DiverLoop

_CRUMB_MOL: Final = 1e-6
_OCCASIONS: Final = {
    Occasion.START: "as filled",
    Occasion.DESCENT: "on leaving the surface, the loop being filled",
    Occasion.END: "at the end",
}


def feeding_account(result: Result, diver: int, position: int) -> Account:
    """Return how the gauge of a cylinder that feeds a loop came about.

    Parameters
    ----------
    result
        The dive.
    diver, position
        Which diver of the team, and which cylinder of the loop, both counted from 0.

    Raises
    ------
    InputError
        If there is no such cylinder.
    """
    own = _own(result, diver)
    if position >= len(own.cylinders):
        raise InputError("there is no such cylinder", right="one of the page")
    use = own.cylinders[position]
    oxygen = is_oxygen(use.carried.mix)
    said = (
        "The loop is kept full at the pressure of the water: what it lacks comes from the diluent, "
        "what it has no room for is vented. Oxygen is added where the ppO2 is below the setpoint, "
        "for what the diver uses up and after a change of setpoint. What leaks, or is exhaled "
        "beside the loop, is not known."
    )
    rows = (
        *_readings(use, own),
        *_added(result, own, use.carried.mix, oxygen=oxygen),
        *(_used_up(result, own) if oxygen else ()),
    )
    return Account(
        title=f"{'Oxygen' if oxygen else 'Diluent'} of {own.diver.name} after the dive",
        number=Shown(pressure_left_label(use.end.gauge_bar, own.diver.units)),
        sentences=(said,),
        rows=rows,
        sources=(
            "balance of oxygen, inert gas and volume over the loop",
            "equation of state GERG-2008 for the cylinder",
        ),
    )


def absorbent_account(result: Result, diver: int) -> Account:
    """Return how the minutes of an absorbent came about.

    Parameters
    ----------
    result
        The dive.
    diver
        Which diver of the team, counted from 0.

    Raises
    ------
    InputError
        If there is no such diver.
    """
    own = _own(result, diver)
    found = own.scrubber
    taken_min = found.used_min + found.breathed_min
    swim_min = found.breathed_min - result.dive.runtime_min
    rows = [
        Row("breathed on it before", _minutes(found.used_min)),
        Row("this dive", _minutes(result.dive.runtime_min)),
    ]
    if swim_min > _CRUMB_MOL:
        rows.append(Row("swim at the surface, on the loop", _minutes(swim_min)))
    if found.lasts_min is not None:
        rows.append(Row(f"stated for {found.work} in this water", _minutes(found.lasts_min)))
    rows.append(Row("kept back", _minutes(found.reserve_min)))
    if found.left_min is not None:
        rows.append(Row("left at the end, with what is kept back", _minutes(found.left_min)))
    return Account(
        title=f"Absorbent of {own.diver.name}",
        number=Shown(str(minutes_up(taken_min)), "min"),
        sentences=(
            (
                "How long it lasts is what the plan states, as the maker does, and nothing is "
                "worked out between the entries: one counts for its own work and lighter, and in "
                "water of its temperature or warmer."
            ),
        ),
        rows=tuple(rows),
        sources=("the plan",),
    )


def bailout_account(result: Result, diver: int, position: int) -> Account:
    """Return how the bailout gas came about that is needed at most.

    Parameters
    ----------
    result
        The dive.
    diver, position
        Which diver of the team, and which bailout gas, both counted from 0.

    Raises
    ------
    InputError
        If there is no such gas.
    """
    own = _own(result, diver)
    if position >= len(own.bailout) or result.team is None:
        raise InputError("there is no such bailout gas", right="one of the page")
    need, units = own.bailout[position], result.units
    problem_min = result.team.rules.problem_min
    bailout = bailout_from(result.dive, need.at_min, problem_min=problem_min)
    where = f"{depth_text(need.at_m, units)} {units.depth_unit}"
    needed = Shown(volume_needed_label(free_litres(need.mix, need.needed_mol), units))
    there = volume_left_label(free_litres(need.mix, need.available_mol), units)
    breaths = [(leg, rmv) for leg, rmv in breaths_of(bailout, own.diver) if leg.gas == need.mix]
    return Account(
        title=f"{need.mix} for the bailout of {own.diver.name}",
        number=needed,
        sentences=(
            (
                f"The loop fails at {need.at_min:.0f} min, {where}, and {own.diver.name} goes home "
                "on open circuit, alone. Of all minutes of the dive it is this one from which the "
                "way home leaves the least of this gas."
            ),
            (
                f"{problem_min:g} min pass there before the way up begins. Breathing is that under "
                "stress until the first stop."
            ),
        ),
        rows=(
            *(breathed_row(result, leg, rmv) for leg, rmv in breaths),
            Row("needed", needed),
            Row("carried, and can be breathed", Shown(there)),
            Row("at the surface", Shown(str(minutes_up(need.surfaced_min)), "min of run time")),
        ),
        sources=("the ascent solved on open circuit from that minute", "ideal gas law"),
    )


def _own(result: Result, diver: int) -> DiverLoop:
    if diver >= len(result.loops):
        raise InputError("there is no such loop", right="one of the page")
    return result.loops[diver]


def _minutes(minutes: float) -> Shown:
    return Shown(f"{minutes:.1f}", "min")


def _readings(use: CylinderUse, own: DiverLoop) -> Iterator[Row]:
    for reading in use.readings:
        label = pressure_left_label(reading.gauge_bar, own.diver.units)
        yield Row(_OCCASIONS.get(reading.occasion, str(reading.occasion)), Shown(label))


def _added(result: Result, own: DiverLoop, mix: Mixture, *, oxygen: bool) -> Iterator[Row]:
    """Yield what the loop takes of one gas, leg by leg."""

    def free(amount_mol: float) -> Shown:
        return Shown(volume_needed_label(free_litres(mix, amount_mol), result.units))

    filling = own.use.filling
    yield Row("filling the loop", free(filling.oxygen_mol if oxygen else filling.diluent_mol))
    for part in own.use.legs:
        amount_mol = part.flows.oxygen_mol if oxygen else part.flows.diluent_mol
        if amount_mol > _CRUMB_MOL:
            words = f"added: {minutes_words(part.leg, result.units)}, {name_of(part.leg)}"
            yield Row(words, free(amount_mol))
    inflation_mol = sum(use.inflation_mol for use in own.cylinders if use.carried.mix == mix)
    if inflation_mol > _CRUMB_MOL:
        yield Row("wing and suit", free(inflation_mol))


def _used_up(result: Result, own: DiverLoop) -> Iterator[Row]:
    """Yield the oxygen that the diver uses up at each rate, with its working."""
    loop = result.dive.plan.loop
    if loop is None or loop.metabolism is None:
        return
    works = own.diver.works_at_depth
    spent: dict[float, tuple[float, float]] = {}
    for part in own.use.legs:
        rate = oxygen_l_per_min(loop.metabolism, part.leg, works_at_depth=works)
        minutes, used_mol = spent.get(rate, (0.0, 0.0))
        spent[rate] = (minutes + part.leg.minutes, used_mol + part.flows.used_mol)
    for rate, (minutes, used_mol) in spent.items():
        values = {"oxygen_l_per_min": rate, "minutes": minutes}
        label = volume_needed_label(free_litres(Mixture(1.0), used_mol), result.units)
        words = f"of all oxygen used up by the diver: {minutes:.1f} min at {rate:g} L/min"
        yield Row(words, Shown(label, "", "metabolic-oxygen", values))
