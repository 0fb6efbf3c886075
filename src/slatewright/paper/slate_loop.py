"""What a slate of a closed circuit carries: ways home on open circuit, why nobody may dive it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from slatewright.dive.bailout import bailout_from
from slatewright.errors import NoSafeAnswer
from slatewright.paper.slate_extras import ShortSchedule, SlateExtras
from slatewright.paper.slate_short import short_schedule

if TYPE_CHECKING:
    from collections.abc import Iterator

    from slatewright.decompression.leg import Leg
    from slatewright.supply.loop_supply import LoopSupply


def loop_extras(found: LoopSupply, override: str | None = None) -> SlateExtras:
    """Return what is printed besides the schedule of a dive on a closed circuit.

    Parameters
    ----------
    found
        The dive with its gas.
    override
        The name of the person on whose word a slate is printed although something is not enough.

    Returns
    -------
    SlateExtras
        On the back the bailouts from half the time at the bottom and from its end.
    """
    return SlateExtras(
        cases=tuple(_cases(found)),
        no_way_home=tuple(
            f"from min {hazard.at_min:.0f}: {hazard.text}" for hazard in found.deadly
        ),
        override=override,
    )


def _cases(found: LoopSupply) -> Iterator[ShortSchedule]:
    dive = found.schedule
    left_min = dive.bottom_left_min
    for at_min in dict.fromkeys((float(math.ceil(left_min / 2.0)), left_min)):
        name = f"bailout at {at_min:.0f}"
        try:
            bailout = bailout_from(dive, at_min, problem_min=found.team.rules.problem_min)
        except NoSafeAnswer as refusal:
            why = refusal.reasons[0].what
            yield ShortSchedule(name, math.floor(at_min), (), 0, why)
            continue
        yield short_schedule(name, (*legs_until(dive.legs, at_min), *bailout.legs))


def legs_until(legs: tuple[Leg, ...], at_min: float) -> tuple[Leg, ...]:
    """Return the legs of a dive up to a run time.

    Parameters
    ----------
    legs
        The dive.
    at_min
        The run time [min].
    """
    kept: list[Leg] = []
    for leg in legs:
        if leg.start_min >= at_min - 1e-9:
            break
        if leg.end_min > at_min:
            share = (at_min - leg.start_min) / leg.minutes
            to_m = leg.from_m + (leg.to_m - leg.from_m) * share
            kept.append(replace(leg, to_m=to_m, minutes=at_min - leg.start_min))
            break
        kept.append(leg)
    return tuple(kept)
