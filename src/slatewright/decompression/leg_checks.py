"""What a reader of finished legs sees without a model: joints, gases, levels, rates.

Part of the second check; nothing of the solver is imported.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from slatewright.decompression.integration import loop_ppo2_bar
from slatewright.decompression.leg import LegKind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from slatewright.decompression.leg import Leg
    from slatewright.decompression.settings import AscentSettings
    from slatewright.physics.water import Water

_SAME_MIN: Final = 1e-6
_SAME_M: Final = 1e-6
_SAME_BAR: Final = 1e-9


def last_down(legs: Sequence[Leg]) -> int:
    """Return the index of the last leg before the way up begins.

    Parameters
    ----------
    legs
        The dive in the order of time.

    Returns
    -------
    int
        The last descent or bottom leg; 0 if there is none.
    """
    down = (LegKind.BOTTOM, LegKind.DESCENT)
    return max((i for i, leg in enumerate(legs) if leg.kind in down), default=0)


def last_stop_m(legs: Sequence[Leg], settings: AscentSettings) -> float:
    """Return the last stop, which a dive that stays above it has not.

    Parameters
    ----------
    legs
        The dive in the order of time.
    settings
        Levels and last stop.

    Returns
    -------
    float
        The last stop, or the deepest level at or above the bottom if that is shallower [m].
    """
    bottom = math.floor(legs[last_down(legs)].to_m / settings.stop_step_m + _SAME_M)
    return min(settings.last_stop_m, bottom * settings.stop_step_m)


def leg_name(legs: Sequence[Leg], number: int) -> str:
    """Return what a finding calls a leg.

    Parameters
    ----------
    legs
        The dive in the order of time.
    number
        Index of the leg.

    Returns
    -------
    str
        Its number from 1, kind, depth, gas and run time.
    """
    leg = legs[number]
    way = f"at {leg.to_m:g} m" if leg.from_m == leg.to_m else f"{leg.from_m:g} to {leg.to_m:g} m"
    return f"leg {number + 1} ({leg.kind}, {way}, {leg.gas}, from minute {leg.start_min:.1f})"


def broken_numbers(legs: Sequence[Leg]) -> Iterator[str]:
    """Yield what makes integration impossible.

    Parameters
    ----------
    legs
        The dive in the order of time.

    Yields
    ------
    str
        A sentence for each finding.
    """
    if not legs:
        yield "there are no legs"
    for number, leg in enumerate(legs):
        numbers = (leg.from_m, leg.to_m, leg.start_min, leg.minutes, leg.setpoint_bar or 0.0)
        if not all(math.isfinite(value) for value in numbers):
            yield f"leg {number + 1} has a value that is no number"
        elif leg.minutes <= 0.0 or min(leg.from_m, leg.to_m) < -_SAME_M:
            yield f"{leg_name(legs, number)} takes no time or lies above the surface"
        elif leg.setpoint_bar is not None and leg.setpoint_bar <= 0.0:
            yield f"{leg_name(legs, number)} has a setpoint of {leg.setpoint_bar:g} bar"


def broken_joints(legs: Sequence[Leg]) -> Iterator[str]:
    """Yield gaps in time or depth, and legs that do not go where their kind says.

    Parameters
    ----------
    legs
        The dive in the order of time.

    Yields
    ------
    str
        A sentence for each finding.
    """
    if abs(legs[0].from_m) > _SAME_M:
        yield f"the dive begins at {legs[0].from_m:g} m and not at the surface"
    if abs(legs[-1].to_m) > _SAME_M:
        yield f"the dive ends at {legs[-1].to_m:g} m and not at the surface"
    for number, leg in enumerate(legs):
        name = leg_name(legs, number)
        if number:
            before = legs[number - 1]
            if abs(leg.start_min - before.end_min) > _SAME_MIN:
                ends = f"the leg before it ends at minute {before.end_min:g}"
                yield f"{name} begins at minute {leg.start_min:g}, {ends}"
            if abs(leg.from_m - before.to_m) > _SAME_M:
                ends = f"the leg before it ends at {before.to_m:g} m"
                yield f"{name} begins at {leg.from_m:g} m, {ends}"
        rise_m = leg.from_m - leg.to_m
        right = {
            LegKind.DESCENT: rise_m <= _SAME_M,
            LegKind.ASCENT: rise_m > _SAME_M,
            LegKind.SURFACE: max(leg.from_m, leg.to_m) <= _SAME_M,
        }.get(leg.kind, abs(rise_m) <= _SAME_M)
        if not right:
            yield f"{name} does not go where a leg of its kind goes"
        if leg.kind is LegKind.SURFACE and number + 1 < len(legs):
            yield f"{name} stands inside the dive: check one dive at a time"


def unbreathable(
    legs: Sequence[Leg],
    water: Water,
    ppo2_max_bar: Callable[[Leg], float],
    floor_bar: float,
    tolerance_bar: float,
) -> Iterator[str]:
    """Yield the legs on which ppO2 leaves its range; it is extreme at an end of a leg.

    Parameters
    ----------
    legs
        The dive in the order of time.
    water
        Surface pressure and weight of the water.
    ppo2_max_bar
        The highest ppO2 allowed on a leg [bar].
    floor_bar
        The lowest ppO2 that may be breathed [bar].
    tolerance_bar
        What a ppO2 may exceed its limit by [bar].

    Yields
    ------
    str
        A sentence for each finding.
    """
    for number, leg in enumerate(legs):
        highest_bar = ppo2_max_bar(leg) + tolerance_bar
        for depth_m in dict.fromkeys((leg.from_m, leg.to_m)):
            ambient_bar = water.surface_bar + water.bar_per_m * depth_m
            ppo2_bar = loop_ppo2_bar(ambient_bar, leg.gas, leg.setpoint_bar)
            found = f"at {depth_m:.1f} m, ppO2 {ppo2_bar:.3f} bar"
            # not >= rather than <: a limit that is no number must not let anything pass
            if not ppo2_bar >= floor_bar - _SAME_BAR:
                yield f"{leg_name(legs, number)}: hypoxic {found} under {floor_bar:.2f}"
            if not ppo2_bar <= highest_bar + _SAME_BAR:
                yield f"{leg_name(legs, number)}: hyperoxic {found} over {highest_bar:.2f}"


def wrong_levels(
    legs: Sequence[Leg], settings: AscentSettings, first_stop_m: float | None
) -> Iterator[str]:
    """Yield stops that stand on no level and ascents that are too fast for their zone.

    Parameters
    ----------
    legs
        The dive in the order of time.
    settings
        Levels and rates.
    first_stop_m
        The first stop, None if there is none [m].

    Yields
    ------
    str
        A sentence for each finding.
    """
    step_m, last_m = settings.stop_step_m, last_stop_m(legs, settings)
    if first_stop_m is not None:
        levels = first_stop_m / step_m
        if first_stop_m < last_m - _SAME_M or abs(levels - round(levels)) > _SAME_M:
            yield f"the first stop at {first_stop_m:g} m is no level"
    for number in range(last_down(legs) + 1, len(legs)):
        leg = legs[number]
        levels = leg.to_m / step_m
        off_level = abs(levels - round(levels)) > _SAME_M or leg.to_m < last_m - _SAME_M
        if leg.kind is LegKind.STOP and off_level:
            right = f"a multiple of {step_m:g} m, {last_m:g} m or deeper"
            yield f"{leg_name(legs, number)} stands on no level: {right}"
        if leg.kind is not LegKind.ASCENT:
            continue
        allowed = settings.between_stops_m_per_min
        if (
            leg.from_m <= max(last_m, step_m) + _SAME_M
        ):  # a bottom above all levels is in the last zone
            allowed = settings.to_surface_m_per_min
        elif first_stop_m is None or leg.from_m > first_stop_m + _SAME_M:
            allowed = settings.to_first_stop_m_per_min
        rate = (leg.from_m - leg.to_m) / leg.minutes
        if rate > allowed * (1.0 + 1e-6):
            yield f"{leg_name(legs, number)} rises at {rate:.2f} m/min, allowed are {allowed:g}"
