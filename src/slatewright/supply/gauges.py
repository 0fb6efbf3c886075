"""What the gauges of a team show, side by side, at each moment at which somebody looks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from slatewright.physics.mixture import Mixture
from slatewright.supply.consumption import CylinderUse, Occasion, Reading, use_of_legs
from slatewright.supply.matching import CylinderSupply, DiverSupply, Matched
from slatewright.supply.reserves import MinimumGas

_SLACK_MIN: Final = 1e-6
_CRUMB_BAR: Final = 1e-9
_CRUMB_MOL: Final = 1e-9


class Look(StrEnum):
    """When a gauge is looked at, or what it is held against."""

    FILLED = "filled"
    IN_THE_WATER = "in the water"
    PUT_AWAY = "put away"
    TURN = "turn at"
    LEAVING = "leaving"
    MINIMUM = "minimum"
    END = "end"
    RESERVE = "reserve"

    @property
    def is_needed(self) -> bool:
        """True for what a gauge must show, which is rounded up; else what it does show."""
        return self in {Look.TURN, Look.MINIMUM, Look.RESERVE}


@dataclass(frozen=True, slots=True)
class GaugeRow:
    """One moment, for the gauges of all divers.

    Parameters
    ----------
    look
        What is shown.
    at_min, at_m
        Run time and depth [min], [m]; None for what belongs to no moment.
    gauges_bar
        One figure a diver, None for one without this cylinder, or whose cylinder cannot hold as
        much [bar].
    """

    look: Look
    at_min: float | None
    at_m: float | None
    gauges_bar: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class GaugeBlock:
    """One cylinder, as all who carry it do.

    Parameters
    ----------
    label
        Its name.
    mix
        What is in it.
    sizes
        The vessel of each diver; None for one who does not carry it.
    rows
        In order of time, then what is to be kept.
    """

    label: str
    mix: Mixture
    sizes: tuple[str | None, ...]
    rows: tuple[GaugeRow, ...]


@dataclass(frozen=True, slots=True)
class MinimumRow:
    """The minimum gas at one depth, on the gauges of all divers.

    Parameters
    ----------
    minimum
        What it is made of.
    label
        The cylinder on whose gauge it is read.
    gauges_bar
        One figure a diver, as in `GaugeRow` [bar].
    """

    minimum: MinimumGas
    label: str
    gauges_bar: tuple[float | None, ...]


def gauge_blocks(supply: Matched) -> tuple[GaugeBlock, ...]:
    """Return all cylinders of a team with their readings, side by side.

    Parameters
    ----------
    supply
        The gas of the dive.

    Returns
    -------
    tuple
        In the order of the kits. Readings at which nothing has left the cylinder since the one
        before are left out; so are turn and minimum on a cylinder that is empty by then.
    """
    at_leaving = [on_leaving(supply, own) for own in supply.divers]
    blocks = []
    for label, mix in _names(supply):
        held = [_of(own, label, mix) for own in supply.divers]
        left = [
            None if one is None else uses[own.cylinders.index(one)]
            for own, one, uses in zip(supply.divers, held, at_leaving, strict=True)
        ]
        sizes = tuple(None if one is None else one.use.carried.cylinder.name for one in held)
        rows = tuple(_rows(supply, mix, held, left))
        blocks.append(GaugeBlock(label, mix, sizes, rows))
    return tuple(blocks)


def on_leaving(supply: Matched, own: DiverSupply) -> tuple[CylinderUse, ...]:
    """Return what the cylinders of a diver hold when the last stay is left as planned.

    Parameters
    ----------
    supply
        The gas of the dive.
    own
        One of the team.

    Returns
    -------
    tuple
        One entry for each cylinder, in the order of the kit; its end is that moment.
    """
    leave_min = supply.plan.levels[-1].leave_at_min + _SLACK_MIN
    until = [leg for leg in supply.legs if leg.end_min <= leave_min]
    team = supply.team
    return use_of_legs(until, own.diver, team.rules, supply.plan.water, team.water_temperature_k)


def minimum_rows(supply: Matched) -> tuple[MinimumRow, ...]:
    """Return the minimum gas at the end of each stay and at each depth, on the team's gauges.

    Parameters
    ----------
    supply
        The gas of the dive.

    Returns
    -------
    tuple
        A row for each depth and each cylinder that holds some of it.
    """
    rows = []
    for minimum in supply.minimum:
        gauges = [supply.minimum_gauges_bar(minimum, own) for own in supply.divers]
        for label, mix in _names(supply):
            held = [_of(own, label, mix) for own in supply.divers]
            if mix == minimum.mix and not _empty_at_turn(held):
                shown = tuple(
                    own.get(label) if one is not None else None
                    for own, one in zip(gauges, held, strict=True)
                )
                rows.append(MinimumRow(minimum, label, shown))
    return tuple(rows)


def _names(supply: Matched) -> tuple[tuple[str, Mixture], ...]:
    carried = (c.use.carried for own in supply.divers for c in own.cylinders)
    return tuple(dict.fromkeys((one.label, one.mix) for one in carried))


def _of(own: DiverSupply, label: str, mix: Mixture) -> CylinderSupply | None:
    return next(
        (c for c in own.cylinders if (c.use.carried.label, c.use.carried.mix) == (label, mix)),
        None,
    )


def _empty_at_turn(held: Sequence[CylinderSupply | None]) -> bool:
    """Tell whether nothing of what is kept is in a cylinder, of nobody's."""
    return all(
        one is None or (one.reserve_mol <= _CRUMB_MOL and one.reserve_gauge_bar is not None)
        for one in held
    )


def _rows(
    supply: Matched,
    mix: Mixture,
    held: Sequence[CylinderSupply | None],
    left: Sequence[CylinderUse | None],
) -> Iterator[GaugeRow]:
    stay = supply.stays[-1]
    filled = [None if one is None else one.use.start for one in held]
    yield _row(Look.FILLED, filled, told=False)
    entered = [_at(one, Occasion.DESCENT) for one in held]
    yield _row(Look.IN_THE_WATER, entered, told=False)
    used = list(_put_away(held))
    early = [row for row in used if row.at_min is not None and row.at_min < (stay.at_min or 0.0)]
    yield from early
    keeps = not _empty_at_turn(held)
    if mix == supply.turn_mix and keeps:
        turn = tuple(None if one is None else one.turn_gauge_bar for one in held)
        yield GaugeRow(Look.TURN, None, None, turn)
        yield _row(Look.LEAVING, [None if use is None else use.end for use in left])
        kept = tuple(None if one is None else one.reserve_gauge_bar for one in held)
        yield GaugeRow(Look.MINIMUM, stay.at_min, stay.at_m, kept)
    yield from used[len(early) :]
    if not used:
        yield _row(Look.END, [None if one is None else one.use.end for one in held])
    if mix != supply.turn_mix and keeps:
        kept = tuple(None if one is None else one.reserve_gauge_bar for one in held)
        yield GaugeRow(Look.RESERVE, None, None, kept)


def _put_away(held: Sequence[CylinderSupply | None]) -> Iterator[GaugeRow]:
    """Yield each moment at which less is left than at the one before; the last is the end."""
    known = next(one for one in held if one is not None).use.readings
    after = [
        i
        for i in range(2, len(known))
        if any(_fell(one.use.readings, i) for one in held if one is not None)
    ]
    for i in after:
        look = Look.END if i == after[-1] else Look.PUT_AWAY
        yield _row(look, [None if one is None else one.use.readings[i] for one in held])


def _fell(readings: Sequence[Reading], i: int) -> bool:
    return readings[i].gauge_bar < readings[i - 1].gauge_bar - _CRUMB_BAR


def _at(one: CylinderSupply | None, occasion: Occasion) -> Reading | None:
    if one is None:
        return None
    return next(reading for reading in one.use.readings if reading.occasion is occasion)


def _row(look: Look, readings: Sequence[Reading | None], *, told: bool = True) -> GaugeRow:
    known = next(reading for reading in readings if reading is not None)
    gauges = tuple(None if reading is None else reading.gauge_bar for reading in readings)
    return GaugeRow(look, known.at_min if told else None, known.at_m if told else None, gauges)
