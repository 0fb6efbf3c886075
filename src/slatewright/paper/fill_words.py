"""What a filler reads of a fill, the same on terminal, page and paper: one act a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.fill.leftovers import Known
from slatewright.fill.steps import StepKind
from slatewright.paper.reading import gauge_text, temperature_text
from slatewright.paper.theme import mixture_name

if TYPE_CHECKING:
    from decimal import Decimal

    from slatewright.fill.prices import Bill
    from slatewright.fill.receiver import Receiver
    from slatewright.fill.session import DoneFill, Session
    from slatewright.fill.steps import Blend, Step
    from slatewright.fill.uncertainty import Spread
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.units import UnitSystem

_POINTS: Final = 100.0
_KNOWN: Final = {
    Known.BOTH_ANALYSED: "both analysed",
    Known.OXYGEN_ANALYSED: "only oxygen analysed",
    Known.LABEL: "by its label alone",
}


@dataclass(frozen=True, slots=True)
class StepWords:
    """One step of a fill as it is read.

    Parameters
    ----------
    act
        What is opened, or ``drain``.
    reading
        What the gauge shows then, without unit.
    rise
        By how much it has risen, with a sign.
    valves
        Which cylinders of a bank, in order, one sentence each; empty without a bank.
    """

    act: str
    reading: str
    rise: str
    valves: tuple[str, ...]


def step_words(fill: Blend, units: UnitSystem) -> tuple[StepWords, ...]:
    """Return the steps of a fill as they are read.

    Parameters
    ----------
    fill
        The fill.
    units
        The units of the gauges.
    """
    before_bar = fill.start_gauge_bar
    words = []
    for step in fill.steps:
        rise_bar = step.gauge_bar - before_bar
        sign = "-" if rise_bar < 0.0 else "+"
        words.append(
            StepWords(
                act="drain" if step.kind is StepKind.DRAIN else step.source,
                reading=gauge_text(step.gauge_bar, units),
                rise=f"{sign}{gauge_text(abs(rise_bar), units)}",
                valves=_valves(fill, step, units),
            )
        )
        before_bar = step.gauge_bar
    return tuple(words)


def _valves(fill: Blend, step: Step, units: UnitSystem) -> tuple[str, ...]:
    words = []
    for move in step.moves:
        until = gauge_text(move.receiver_pressure_bar - fill.surface_bar, units)
        left = gauge_text(move.cylinder_pressure_bar - fill.surface_bar, units)
        if move.boosted:
            words.append(f"boost {move.cylinder} until {until}; it is left with {left}")
        elif until == left:
            words.append(f"open {move.cylinder} until both show {until}")
        else:
            words.append(f"open {move.cylinder} until {until}; it is left with {left}")
    return tuple(words)


def holds_words(fill: DoneFill, units: UnitSystem) -> str:
    """Return what is in a cylinder before the fill, such as ``84.0 bar of 12/65, both analysed``.

    Parameters
    ----------
    fill
        The fill.
    units
        The units of the gauges.
    """
    inside = fill.blend.receiver.contents
    if inside is None:
        return "evacuated"
    shown = f"{gauge_text(fill.blend.start_settled_gauge_bar, units)} {units.pressure_unit}"
    return f"{shown} of {inside.mixture()}, {_KNOWN[fill.known]}"


def body_words(receiver: Receiver, session: Session) -> str:
    """Return what a cylinder is, such as ``twin 12, 24.0 L, works at 232.0 bar``.

    Parameters
    ----------
    receiver
        The cylinder.
    session
        The fills that it belongs to.
    """
    units = session.file.units
    size = session.file.size(receiver.label)
    working = f"{gauge_text(receiver.cylinder.working_gauge_bar, units)} {units.pressure_unit}"
    return f"{size}, {receiver.water_volume_l:.1f} L, works at {working}"


def percent_words(mix: Mixture) -> str:
    """Return both gases of a mixture to the tenth of a percent.

    Parameters
    ----------
    mix
        The mixture.
    """
    return f"oxygen {mix.o2 * _POINTS:.1f} %, helium {mix.he * _POINTS:.1f} %"


def target_words(mix: Mixture, gauge_bar: float, units: UnitSystem) -> str:
    """Return what a cylinder is to hold, such as ``10/70 to 220.0 bar``.

    Parameters
    ----------
    mix
        The mixture.
    gauge_bar
        Settled pressure [bar].
    units
        The units of the gauges.
    """
    return f"{mixture_name(mix)} to {gauge_text(gauge_bar, units)} {units.pressure_unit}"


def spread_words(spread: Spread, fill: Blend) -> str:
    """Return how certain a mix is, in a sentence or two.

    Parameters
    ----------
    spread
        The spread.
    fill
        The fill.
    """
    o2, he = (f"{share * _POINTS:.1f}" for share in spread.wide)
    allowed = f"{spread.tolerance.o2 * _POINTS:g} and {spread.tolerance.he * _POINTS:g}"
    inside = int(spread.inside * _POINTS)
    told = f"95 of 100 such fills are within {o2} points of oxygen and {he} of helium"
    verdict = (
        f"sure enough for {allowed}"
        if spread.stays_inside
        else f"NOT SURE: only {inside} of 100 are within {allowed}"
    )
    return f"{told}; {verdict}. {_most(spread, fill)}"


def _most(spread: Spread, fill: Blend) -> str:
    number = spread.worst_step
    if number == 0:
        return "What was read before the first step matters most."
    step = fill.steps[number - 1]
    return f"Step {number}, {step.source or 'draining'}, matters most: read it with care."


def bill_words(bill: Bill) -> str:
    """Return a bill in one line.

    Parameters
    ----------
    bill
        The bill.
    """
    parts = (f"{line.gas} {line.cost:,.2f}" for line in bill.lines if line.cost)
    return f"{money(bill.total, bill.currency)} ({', '.join(parts) or 'nothing charged'})"


def money(amount: Decimal, currency: str) -> str:
    """Return a sum of money, such as ``1,234.50 EUR``.

    Parameters
    ----------
    amount
        The sum.
    currency
        The currency.
    """
    return f"{amount:,.2f} {currency}"


def room_words(session: Session) -> str:
    """Return the temperatures and habits of a fill room, in a sentence.

    Parameters
    ----------
    session
        The fills.
    """
    room, units = session.before, session.file.units
    warm = temperature_text(room.fill_temperature_k, units)
    cool = temperature_text(room.reference_temperature_k, units)
    return (
        f"Readings count with the gas at {warm}, settled pressures at {cool}. Recipes by "
        f"{room.choice}, {room.first} first."
    )
