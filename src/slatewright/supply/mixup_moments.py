"""Every moment of a dive at which a cylinder is handled, and so can be the wrong one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import groupby
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.dive.finished import Finished
from slatewright.physics.mixture import Mixture

_NEAR: Final = 1e-6


class Handling(StrEnum):
    """What is done with a cylinder."""

    MOUTH = "put in the mouth"
    CHANGE_DOWN = "changed to on the way down"
    DROP = "dropped"
    PICK_UP = "picked up"
    CHANGE_UP = "changed to on the way up"
    BREAK = "changed to for a break"
    BACK = "changed back to after a break"


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment at which a cylinder is handled.

    Parameters
    ----------
    handling
        What is done.
    gas
        The gas that is meant.
    at_min, at_m
        Run time and depth [min], [m].
    until_min
        Run time at which the next gas is put in the mouth; for a drop that of the drop [min].
    shallowest_m, deepest_m
        Between which depths the gas is breathed from then on, until the next one [m].
    in_mouth
        What is breathed at the moment itself; this cylinder cannot be the one that is dropped.
    """

    handling: Handling
    gas: Mixture
    at_min: float
    at_m: float
    until_min: float
    shallowest_m: float
    deepest_m: float
    in_mouth: Mixture

    @property
    def breathes(self) -> bool:
        """True if the gas goes into the mouth at this moment."""
        return self.handling is not Handling.DROP


def moments_of(dive: Finished, *, dropped: bool) -> tuple[Moment, ...]:
    """Find every moment of a dive at which a cylinder is handled.

    Parameters
    ----------
    dive
        The finished dive.
    dropped
        True if each decompression gas is dropped on the way down at the depth at which it will be
        changed to, and picked up there; False if all cylinders are carried throughout.

    Returns
    -------
    tuple
        In order of time; what is picked up is breathed at once, so a pick-up stands just before its
        change.
    """
    moments: list[Moment] = []
    lying: set[Mixture] = set()
    spells = [list(legs) for _, legs in groupby(dive.legs, key=lambda leg: leg.gas)]
    for number, spell in enumerate(spells):
        before = spells[number - 1] if number else None
        moment = _moment(_handling(dive, before, spell), spell)
        if dropped and moment.handling is Handling.CHANGE_UP and moment.gas not in lying:
            lying.add(moment.gas)
            moments.append(_drop(dive, moment))
            moments.append(replace(moment, handling=Handling.PICK_UP))
        moments.append(moment)
    return tuple(sorted(moments, key=lambda moment: moment.at_min))


def _moment(handling: Handling, spell: Sequence[Leg]) -> Moment:
    depths = [depth_m for leg in spell for depth_m in (leg.from_m, leg.to_m)]
    first, last = spell[0], spell[-1]
    return Moment(
        handling,
        first.gas,
        first.start_min,
        first.from_m,
        last.end_min,
        min(depths),
        max(depths),
        first.gas,
    )


def _handling(dive: Finished, before: Sequence[Leg] | None, spell: Sequence[Leg]) -> Handling:
    if before is None:
        return Handling.MOUTH
    if any(leg.pause for leg in spell):
        return Handling.BREAK
    if any(leg.pause for leg in before):
        return Handling.BACK
    rising = spell[0].start_min >= dive.bottom_left_min - _NEAR
    return Handling.CHANGE_UP if rising else Handling.CHANGE_DOWN


def _drop(dive: Finished, change: Moment) -> Moment:
    """Return the drop that belongs to a change on the way up: the same depth, on the way down."""
    depth_m, at_min, in_mouth = change.at_m, 0.0, dive.legs[0].gas
    for leg in dive.legs:
        if leg.kind is LegKind.DESCENT and leg.from_m - _NEAR <= depth_m <= leg.to_m + _NEAR:
            share = (depth_m - leg.from_m) / (leg.to_m - leg.from_m)
            at_min, in_mouth = leg.start_min + share * leg.minutes, leg.gas
            break
    return Moment(Handling.DROP, change.gas, at_min, depth_m, at_min, depth_m, depth_m, in_mouth)
