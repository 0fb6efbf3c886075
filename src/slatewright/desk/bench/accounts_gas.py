"""How the gauges of a cylinder came about."""

from __future__ import annotations

from collections.abc import Iterator

from slatewright.decompression.leg import Leg
from slatewright.desk.bench.result import Result
from slatewright.desk.legs import minutes_words
from slatewright.desk.workings import Account, Row, Shown
from slatewright.errors import InputError
from slatewright.paper.reading import depth_text
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import (
    UnitSystem,
    pressure_left_label,
    pressure_needed_label,
    volume_left_label,
    volume_needed_label,
)
from slatewright.supply.breathing import (
    breathed_in_leg_mol,
    breathing_temperature_k,
    mean_ambient_bar,
    phase_of,
)
from slatewright.supply.consumption import CylinderUse, Occasion
from slatewright.supply.matching import CylinderSupply, DiverSupply


def cylinder_account(result: Result, diver: int, position: int) -> Account:
    """Return how the gauge of a cylinder after the dive came about.

    Parameters
    ----------
    result
        The dive.
    diver, position
        Which diver of the team, and which cylinder of the kit, both counted from 0.

    Raises
    ------
    InputError
        If there is no such cylinder.
    """
    divers = result.gas.divers if result.gas is not None else ()
    if diver >= len(divers) or position >= len(divers[diver].cylinders):
        raise InputError("there is no such cylinder", right="one of the page")
    own = divers[diver]
    one = own.cylinders[position]
    use, units = one.use, own.diver.units
    mix = use.carried.mix
    said = [
        (
            f"{use.carried.cylinder.name} of {mix}, carried by {own.diver.name}. What it holds is "
            "counted in moles by the equation of state of the real gas, and shown as its gauge "
            "would at the temperature of the water."
        ),
    ]
    held = [other for other in own.cylinders if other.use.carried.mix == mix]
    if len(held) > 1:
        said.append("Several cylinders hold this gas; they are drawn in the order of the kit.")
    rows = (
        *_readings(use, units, result.units),
        *_legs(result, own, one),
        *_kept(own, one, result.units),
    )
    return Account(
        title=f"{use.carried.label} after the dive",
        number=Shown(pressure_left_label(use.end.gauge_bar, units)),
        sentences=tuple(said),
        rows=rows,
        sources=("equation of state GERG-2008 for the cylinder", "ideal gas law for the breath"),
    )


def _readings(use: CylinderUse, units: UnitSystem, seen: UnitSystem) -> Iterator[Row]:
    words = {
        Occasion.START: "as filled",
        Occasion.DESCENT: "in the water, before the descent",
        Occasion.END: "at the end",
    }
    for reading in use.readings:
        where = f"at {reading.at_min:.0f} min, {depth_text(reading.at_m, seen)} {seen.depth_unit}"
        what = words.get(reading.occasion, f"{reading.occasion} {where}")
        yield Row(what, Shown(pressure_left_label(reading.gauge_bar, units)))


def _legs(result: Result, own: DiverSupply, one: CylinderSupply) -> Iterator[Row]:
    """Yield what each leg on this gas takes, each with the working of its amount."""
    team = result.team
    mix = one.use.carried.mix
    if team is None:
        return
    for leg in result.dive.legs:
        if leg.gas == mix:
            rmv = own.diver.rmv.l_per_min(phase_of(leg, works_at_depth=own.diver.works_at_depth))
            yield breathed_row(result, leg, rmv)


def breathed_row(result: Result, leg: Leg, rmv_l_per_min: float) -> Row:
    """Return what a leg takes from cylinders, with the working of its amount.

    Parameters
    ----------
    result
        The dive, for its water and the reader's units.
    leg
        A leg on open circuit.
    rmv_l_per_min
        At what rate is breathed [L/min].
    """
    water, kelvin = result.dive.plan.water, result.team.water_temperature_k if result.team else None
    values = {
        "rmv_l_per_min": rmv_l_per_min,
        "minutes": leg.minutes,
        "ambient_bar": mean_ambient_bar(water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m)),
        "temperature_k": breathing_temperature_k(kelvin),
    }
    amount_mol = breathed_in_leg_mol(leg, rmv_l_per_min, water, kelvin)
    label = volume_needed_label(free_litres(leg.gas, amount_mol), result.units)
    words = f"breathed: {minutes_words(leg, result.units)}"
    return Row(words, Shown(label, "", "breathed-amount", values))


def _kept(own: DiverSupply, one: CylinderSupply, seen: UnitSystem) -> Iterator[Row]:
    mix = one.use.carried.mix
    kept = own.kept_of(mix)

    def free(amount_mol: float) -> Shown:
        return Shown(volume_needed_label(free_litres(mix, max(0.0, amount_mol)), seen))

    available = free_litres(mix, kept.available_mol)
    yield Row("all of this gas to breathe at the start", Shown(volume_left_label(available, seen)))
    if kept.minimum_mol > 0.0:
        shared = f", for {own.diver.name} and {own.carries_for.name}" if own.carries_for else ""
        yield Row(f"minimum gas on leaving the bottom{shared}", free(kept.minimum_mol))
    if kept.factor_mol > 0.0:
        yield Row("kept beyond what the stops take, by the factor", free(kept.factor_mol))
    if one.reserve_gauge_bar is not None and one.reserve_mol > 0.0:
        label = pressure_needed_label(one.reserve_gauge_bar, own.diver.units)
        yield Row("the same on this gauge", Shown(label))
    if one.turn_gauge_bar is not None:
        label = pressure_needed_label(one.turn_gauge_bar, own.diver.units)
        yield Row("turn at", Shown(label))
