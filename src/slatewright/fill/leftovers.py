"""What to do with what came back, and how far its helium can be trusted.

A mix is known only when both gases were analysed. The oxygen of trimix is often near that of air,
so a cylinder topped with air may read the same oxygen with less than half the helium.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import Final

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill import say
from slatewright.fill.blend import blend
from slatewright.fill.joining import join
from slatewright.fill.mixing import least_share
from slatewright.fill.prices import NOTHING
from slatewright.fill.reach import Topped, toppings
from slatewright.fill.receiver import Receiver
from slatewright.fill.room import Room
from slatewright.fill.state import part
from slatewright.fill.steps import Blend
from slatewright.physics.amount import HELIUM, Amount, Gas
from slatewright.physics.mixture import AIR, Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.sources import Symbol, formula

_SAME: Final = 1e-9


class Known(StrEnum):
    """What is known of a mix."""

    BOTH_ANALYSED = "both analysed"
    OXYGEN_ANALYSED = "oxygen analysed"
    LABEL = "label"


@formula(
    name="topped-fraction",
    title="Fraction of a gas after topping with another",
    equation="f' = f·(1 - s) + f_top·s",
    result=Symbol("f'", "-", "mole fraction afterwards"),
    symbols={
        "fraction": Symbol("f", "-", "mole fraction before", 0.0, 1.0),
        "top_fraction": Symbol("f_top", "-", "mole fraction in what it is topped with", 0.0, 1.0),
        "share": Symbol("s", "-", "share of the top in the whole, by moles", 0.0, 1.0),
    },
    source=("law of conservation of matter",),
    valid="any two gases, well mixed",
)
def topped_fraction(fraction: float, top_fraction: float, share: float) -> float:
    """Return the fraction of a gas after topping with another.

    Parameters
    ----------
    fraction
        Mole fraction before [-].
    top_fraction
        Mole fraction in what it is topped with [-].
    share
        Share of the top in the whole [-].

    Returns
    -------
    float
        Mole fraction afterwards [-].
    """
    return fraction * (1.0 - share) + top_fraction * share


def helium_range(
    label: Mixture,
    o2_read: float,
    *,
    o2_error: float = 0.01,
    top: Mixture = AIR,
    known: Known = Known.OXYGEN_ANALYSED,
) -> tuple[float, float]:
    """Return between what the helium of a cylinder may lie if it may have been topped.

    Parameters
    ----------
    label
        The mix that it is said to hold.
    o2_read
        What the oxygen analyser says [-].
    o2_error
        How far that may be off [-].
    top
        What it may have been topped with.
    known
        What is known; a label alone does not even bound the topping.

    Returns
    -------
    tuple
        Lowest and highest mole fraction of helium. Both are the label's if both gases were
        analysed [-].

    Raises
    ------
    NoSafeAnswer
        If no amount of topping explains what the analyser says: it is some other gas.
    """
    if known is Known.BOTH_ANALYSED:
        return (label.he, label.he)
    if known is Known.LABEL:
        return (min(label.he, top.he), max(label.he, top.he))
    low, high = 0.0, 1.0
    change = top.o2 - label.o2
    if abs(change) > _SAME:
        ends = sorted((o2_read + e - label.o2) / change for e in (-o2_error, o2_error))
        low, high = max(0.0, ends[0]), min(1.0, ends[1])
    elif abs(o2_read - label.o2) > o2_error + _SAME:
        low, high = 1.0, 0.0
    if low > high + _SAME:
        raise NoSafeAnswer(
            Reason(
                f"a cylinder labelled {label} that reads {o2_read * 100:.1f} % oxygen is not that "
                f"mix, nor that mix topped with {top}",
                "analyse both gases, and find out what is in it",
            )
        )
    helium = [topped_fraction(label.he, top.he, share) for share in (low, high)]
    return (min(helium), max(helium))


class UseKind(StrEnum):
    """What can be done with a leftover."""

    NEXT_DIVE = "next dive"
    LATER_DIVE = "later dive"
    TOP_UP = "top up"
    DECANT = "decant"
    KEEP = "keep"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A mix that will be wanted.

    Parameters
    ----------
    name
        The dive.
    mix
        The mix.
    gauge_bar
        Settled pressure on the gauge [bar].
    """

    name: str
    mix: Mixture
    gauge_bar: float


@dataclass(frozen=True)
class Use:
    """One use of a leftover.

    Parameters
    ----------
    kind
        What is done.
    text
        The same in words.
    fill
        The fill that makes use of it; None for topping, decanting and keeping.
    helium_saved_free_l
        Helium that need not be bought [L].
    saved
        Money saved against the same fill from a drained cylinder; None without prices.
    mix
        What is in it afterwards; None after decanting it away.
    needs_analysis
        Whether both gases have to be analysed before it can be counted on.
    """

    kind: UseKind
    text: str
    fill: Blend | None
    helium_saved_free_l: float
    saved: Decimal | None
    mix: Mixture | None
    needs_analysis: bool


def uses_of(
    receiver: Receiver,
    wanted: Sequence[Wanted],
    room: Room,
    *,
    known: Known = Known.BOTH_ANALYSED,
    into: Receiver | None = None,
) -> tuple[Use, ...]:
    """Return what can be done with what is in a cylinder, the best first.

    Parameters
    ----------
    receiver
        The cylinder, with what came back in it.
    wanted
        The mixes of the dives to come, the next one first.
    room
        The room.
    known
        What is known of the mix.
    into
        A cylinder into which it could be decanted; None if there is none.

    Returns
    -------
    tuple
        By money saved, or by helium without prices; keeping it is always among them.

    Raises
    ------
    InputError
        If the cylinder is empty.
    """
    if receiver.contents is None:
        raise InputError(f"{receiver.label} is empty", right="a cylinder with something in it")
    unsure = known is not Known.BOTH_ANALYSED
    uses = [
        use
        for number, want in enumerate(wanted)
        if (use := _for_dive(receiver, want, room, first=number == 0, unsure=unsure))
    ]
    uses += [_topped(top, unsure=unsure) for top in _tops(receiver, wanted, room)]
    if into is not None:
        uses.append(_decanted(receiver, into, room, unsure=unsure))
    mix = receiver.contents.mixture()
    uses.append(Use(UseKind.KEEP, f"keep {mix} as it is", None, 0.0, _nothing(room), mix, unsure))
    return tuple(
        sorted(uses, key=lambda use: (use.saved or 0, use.helium_saved_free_l), reverse=True)
    )


def _nothing(room: Room) -> Decimal | None:
    return None if room.prices is None else NOTHING


def _for_dive(
    receiver: Receiver, want: Wanted, room: Room, *, first: bool, unsure: bool
) -> Use | None:
    """Compare the fill on the leftover with the same from a cylinder drained to the air around."""
    drained = replace(receiver, contents=_emptied(receiver, room))
    try:
        fill = blend(receiver, want.mix, want.gauge_bar, room)
        afresh = blend(drained, want.mix, want.gauge_bar, room)
    except NoSafeAnswer:
        return None
    saved_l = free_litres(HELIUM, 1.0) * (afresh.helium_mol - fill.helium_mol)
    saved = None
    if fill.bill is not None and afresh.bill is not None:
        saved = afresh.bill.total - fill.bill.total
    kind = UseKind.NEXT_DIVE if first else UseKind.LATER_DIVE
    return Use(kind, f"fill to {want.mix} for {want.name}", fill, saved_l, saved, fill.mix, unsure)


def _emptied(receiver: Receiver, room: Room) -> Amount | None:
    return part(receiver.contents, least_share(receiver, room))


def _tops(receiver: Receiver, wanted: Sequence[Wanted], room: Room) -> tuple[Topped, ...]:
    if not wanted:
        return ()
    return toppings(receiver, wanted[0].gauge_bar, room)


def _topped(top: Topped, *, unsure: bool) -> Use:
    text = f"top with {top.source} alone: {top.mix}"
    return Use(UseKind.TOP_UP, text, None, 0.0, None, top.mix, unsure)


def _decanted(receiver: Receiver, into: Receiver, room: Room, *, unsure: bool) -> Use:
    joined = join(
        receiver.contents,
        receiver.water_volume_l,
        into.contents,
        into.water_volume_l,
        room.fill_temperature_k,
    )
    gained = (joined.second.he_mol if joined.second else 0.0) - (
        into.contents.he_mol if into.contents else 0.0
    )
    gauge_bar = joined.pressure_bar - room.surface_bar
    moved_l = free_litres(HELIUM, 1.0) * max(0.0, gained)
    text = (
        f"decant into {into.label} until both show {say.gauge(gauge_bar, room.units)}: "
        f"{say.free(moved_l, room.units)} of helium go over, and {into.label} then holds "
        f"{_name(joined.second)}"
    )
    return Use(UseKind.DECANT, text, None, 0.0, _nothing(room), None, unsure)


def _name(gas: Gas | None) -> str:
    return "nothing" if gas is None else str(Mixture(gas.o2, gas.he))


@dataclass(frozen=True)
class Leftover:
    """A cylinder with gas in it for which nothing is planned.

    Parameters
    ----------
    receiver
        The cylinder.
    gauge_bar
        What its gauge shows at the reference temperature [bar].
    known
        What is known of the mix.
    helium
        Between what its helium may lie if it may have been topped with air [-].
    uses
        What can be done with it, the best first.
    """

    receiver: Receiver
    gauge_bar: float
    known: Known
    helium: tuple[float, float]
    uses: tuple[Use, ...]


def leftover_of(
    receiver: Receiver,
    gauge_bar: float,
    wanted: Sequence[Wanted],
    room: Room,
    known: Known,
    *,
    into: Receiver | None = None,
) -> Leftover:
    """Return what is left in a cylinder, how certain it is, and what could be done with it.

    Parameters
    ----------
    receiver
        The cylinder, holding what its label says.
    gauge_bar
        What its gauge shows [bar].
    wanted
        The mixes to come, the next one first.
    room
        The room.
    known
        What is known of the mix.
    into
        A cylinder into which it could be decanted; None if there is none.

    Returns
    -------
    Leftover
        With its uses.

    Raises
    ------
    InputError
        If the cylinder is empty.
    """
    uses = uses_of(receiver, wanted, room, known=known, into=into)
    if receiver.contents is None:
        raise InputError(f"{receiver.label} is empty", right="a cylinder with something in it")
    label = receiver.contents.mixture()
    return Leftover(receiver, gauge_bar, known, helium_range(label, label.o2, known=known), uses)
