"""What stands around the fills: what is refused, the banks afterwards, leftovers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from slatewright.desk.workings import Shown
from slatewright.errors import Reason
from slatewright.fill.leftovers import Leftover
from slatewright.fill.reach import OutOfReach
from slatewright.fill.session import RefusedFill, Session
from slatewright.paper.fill_words import percent_words, target_words
from slatewright.paper.reading import free_text, gauge_text
from slatewright.paper.theme import mixture_name
from slatewright.physics.units import UnitSystem

_MOST_USES: Final = 5


@dataclass(frozen=True, slots=True)
class Reachable:
    """A mix that can be had instead.

    Parameters
    ----------
    how
        How it is made.
    mix
        Its name.
    percent
        Its gases.
    """

    how: str
    mix: str
    percent: str


@dataclass(frozen=True, slots=True)
class RefusedSeen:
    """A fill that cannot be done.

    Parameters
    ----------
    number
        Its place after those that can, counted from 1.
    name, target
        The cylinder, and what was asked for.
    reasons
        Why not, each with what would cure it.
    instead
        What can be had instead: the nearest mix, and those by topping alone.
    highest
        The highest pressure at which the mix asked for can be made; empty if at none.
    """

    number: int
    name: str
    target: str
    reasons: tuple[Reason, ...]
    instead: tuple[Reachable, ...]
    highest: str


@dataclass(frozen=True, slots=True)
class BankRow:
    """One cylinder of a bank.

    Parameters
    ----------
    source, cylinder
        Of which source, and which.
    size
        Its water volume.
    before, after
        What its gauge shows before and after the fills.
    after_share
        How full it is then, of what it was [%].
    drawn
        Whether something was drawn from it.
    """

    source: str
    cylinder: str
    size: str
    before: Shown
    after: Shown
    after_share: int
    drawn: bool


@dataclass(frozen=True, slots=True)
class UseSeen:
    """What can be done with a leftover.

    Parameters
    ----------
    text
        In words.
    saves
        What it saves, in words; empty if nothing is known.
    """

    text: str
    saves: str


@dataclass(frozen=True, slots=True)
class LeftoverSeen:
    """A cylinder with gas in it that the file does not fill.

    Parameters
    ----------
    name
        The cylinder.
    holds
        What is in it.
    unsure
        How unsure its helium is; empty if it was analysed.
    uses
        The best first.
    """

    name: str
    holds: str
    unsure: str
    uses: tuple[UseSeen, ...]


def refused_of(session: Session) -> tuple[RefusedSeen, ...]:
    """Return the fills that cannot be done.

    Parameters
    ----------
    session
        The fills.
    """
    return tuple(
        _refused(number, one, session.file.units)
        for number, one in enumerate(session.refused, len(session.fills) + 1)
    )


def banks_of(session: Session, how: str) -> tuple[BankRow, ...]:
    """Return the banks before and after the fills.

    Parameters
    ----------
    session
        The fills.
    how
        The path under which accounts are served.
    """
    units, rows = session.file.units, []
    for index, (old, new) in enumerate(
        zip(session.before.sources, session.room.sources, strict=True)
    ):
        if old.bank is None or new.bank is None:
            continue
        shown = zip(old.bank.cylinders, old.bank.gauges_bar(), new.bank.gauges_bar(), strict=True)
        for place, (one, was_bar, is_bar) in enumerate(shown):
            rows.append(
                BankRow(
                    source=old.name,
                    cylinder=one.label,
                    size=f"{one.water_volume_l:g} L",
                    before=Shown(gauge_text(was_bar, units), units.pressure_unit),
                    after=Shown(
                        gauge_text(is_bar, units),
                        units.pressure_unit,
                        account=f"{how}/bank/{index}/{place}",
                    ),
                    after_share=round(100.0 * max(0.0, is_bar) / was_bar) if was_bar > 0.0 else 0,
                    drawn=abs(was_bar - is_bar) > 1e-6,
                )
            )
    return tuple(rows)


def leftovers_of(session: Session) -> tuple[LeftoverSeen, ...]:
    """Return what is left in cylinders that are not filled, and what can be done with it.

    Parameters
    ----------
    session
        The fills.
    """
    return tuple(_leftover(one, session) for one in session.leftovers)


def _refused(number: int, one: RefusedFill, units: UnitSystem) -> RefusedSeen:
    label, refusal = one.job.receiver.label, one.refusal
    instead: list[Reachable] = []
    highest = ""
    if isinstance(refusal, OutOfReach):
        if refusal.nearest is not None:
            mix = refusal.nearest
            instead.append(Reachable("nearest", mixture_name(mix), percent_words(mix)))
        instead += [
            Reachable(
                f"topped with {top.source} alone", mixture_name(top.mix), percent_words(top.mix)
            )
            for top in refusal.toppings
        ]
        if refusal.highest_gauge_bar is not None:
            shown = gauge_text(refusal.highest_gauge_bar, units).removesuffix(".0")
            highest = f"{mixture_name(one.job.mix)} up to {shown} {units.pressure_unit}"
    return RefusedSeen(
        number=number,
        name=label,
        target=target_words(one.job.mix, one.job.gauge_bar, units),
        reasons=tuple(
            Reason(r.what.removeprefix(f"{label}: "), "" if instead else r.cure)
            for r in refusal.reasons
        ),
        instead=tuple(instead),
        highest=highest,
    )


def _leftover(one: Leftover, session: Session) -> LeftoverSeen:
    units = session.file.units
    inside = one.receiver.contents
    mix = "" if inside is None else f" of {inside.mixture()}"
    low, high = (f"{share * 100.0:.0f}" for share in one.helium)
    unsure = (
        f"helium may be anything from {low} to {high} %: {one.known} only; analyse both"
        if low != high
        else ""
    )
    currency = "" if session.room.prices is None else f" {session.room.prices.currency}"
    uses = []
    for use in one.uses[:_MOST_USES]:
        saves = []
        if use.saved:
            saves.append(f"{use.saved:,.2f}{currency}")
        if use.helium_saved_free_l > 0.0:
            saves.append(f"{free_text(use.helium_saved_free_l, units)} of helium")
        uses.append(UseSeen(use.text, " and ".join(saves)))
    holds = f"{gauge_text(one.gauge_bar, units)} {units.pressure_unit}{mix}"
    return LeftoverSeen(one.receiver.label, holds, unsure, tuple(uses))
