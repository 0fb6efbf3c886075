"""The gas of a team again, with what is really in its cylinders: turns, reserves, the way home."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from slatewright.dive.schedule import Schedule
from slatewright.fill.analysis import Analysis
from slatewright.fill.replan import Difference
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, pressure_needed_label
from slatewright.supply.kit import KitCylinder, Team
from slatewright.supply.supply import Supply, supply_of
from slatewright.supply.wayhome import Grid, Verdict, way_home
from slatewright.supply.wayhome.verdicts import RowSummary


@dataclass(frozen=True)
class JudgedGas:
    """Whether there is enough, and a way home.

    Parameters
    ----------
    supply
        Every cylinder, what is kept, when to turn.
    grid
        The way home from every minute, whatever fails.
    """

    supply: Supply
    grid: Grid


def judged_gas(dive: Schedule, team: Team) -> JudgedGas:
    """Judge the gas of a dive.

    Parameters
    ----------
    dive
        The dive.
    team
        Who goes, with which cylinders.

    Returns
    -------
    JudgedGas
        A dive with too little gas is told of, not refused.

    Raises
    ------
    InputError
        If a gas that is breathed is in no cylinder.
    NoSafeAnswer
        If there is no ascent from the end of a stay, delayed by a problem.
    """
    return JudgedGas(supply_of(dive, team), way_home(dive, team))


def team_with(
    team: Team,
    analysed: Mapping[Mixture, Mixture],
    read: Mapping[tuple[str, Mixture], Analysis],
) -> Team:
    """Return a team with what was analysed in its cylinders.

    Parameters
    ----------
    team
        As planned.
    analysed
        Planned mix to the mix as analysed, for all divers.
    read
        Diver and planned mix to the analysis of that diver's one cylinder of it: its pressure and
        temperature count too.

    Returns
    -------
    Team
        The same divers; who has several cylinders of a mix keeps the pressures planned for them.
    """
    divers = []
    for diver in team.divers:
        kit = []
        for one in diver.kit:
            alone = sum(other.mix == one.mix for other in diver.kit) == 1
            analysis = read.get((diver.name, one.mix)) if alone else None
            kit.append(_filled(one, analysed.get(one.mix, one.mix), analysis))
        divers.append(replace(diver, kit=tuple(kit)))
    return replace(team, divers=tuple(divers))


def _filled(one: KitCylinder, mix: Mixture, analysis: Analysis | None) -> KitCylinder:
    if analysis is None:
        return replace(one, mix=mix)
    return replace(
        one,
        mix=mix,
        start_gauge_bar=analysis.gauge_bar,
        fill_temperature_k=analysis.temperature_k,
    )


def gas_differences(
    before: JudgedGas, after: JudgedGas, analysed: Mapping[Mixture, Mixture]
) -> Iterator[Difference]:
    """Yield what differs in turns, reserves and the way home.

    Parameters
    ----------
    before, after
        The gas as planned and as analysed.
    analysed
        Planned mix to the mix as analysed.

    Yields
    ------
    Difference
        Pressures in the units of the diver's own gauges.
    """
    for was, now in zip(before.supply.divers, after.supply.divers, strict=True):
        units = was.diver.units
        for old, new in zip(was.cylinders, now.cylinders, strict=True):
            where = f"{was.diver.name}, {old.use.carried.label}"
            pairs = (
                ("turn at", old.turn_gauge_bar, new.turn_gauge_bar),
                ("keep", old.reserve_gauge_bar, new.reserve_gauge_bar),
            )
            for what, old_bar, new_bar in pairs:
                yield from _pressure(what, where, old_bar, new_bar, units)
    yield from _ways(before.grid, after.grid, analysed)


def _pressure(
    what: str, where: str, old_bar: float | None, new_bar: float | None, units: UnitSystem
) -> Iterator[Difference]:
    was, now = (
        "more than it holds" if bar is None else pressure_needed_label(bar, units)
        for bar in (old_bar, new_bar)
    )
    if was != now:
        worse = new_bar is None or (old_bar is not None and new_bar > old_bar)
        yield Difference(what, where, was, now, worse)


def _ways(before: Grid, after: Grid, analysed: Mapping[Mixture, Mixture]) -> Iterator[Difference]:
    was = {row.failure.name: row for row in before.rows}
    now = {_planned_name(row.failure.name, analysed): row for row in after.rows}
    for name, old in was.items():
        new = now.get(name)
        if new is None:
            continue
        words = _words(old), _words(new)
        if words[0] != words[1]:
            worse = (new.worst.verdict, new.minutes_without) > (
                old.worst.verdict, old.minutes_without,
            )  # fmt: skip
            yield Difference("way home", name, *words, worse)


def _planned_name(name: str, analysed: Mapping[Mixture, Mixture]) -> str:
    """Return a failure's name with the mixes as planned, so that rows can be compared."""
    words = {str(mix): str(planned) for planned, mix in analysed.items()}
    return " ".join(words.get(word, word) for word in name.split(" "))


def _words(row: RowSummary) -> str:
    verdict: Verdict = row.worst.verdict
    if row.first_without_min is not None:
        return f"{verdict.words} from minute {row.first_without_min}"
    return verdict.words
