"""The schedule as a table, and the hazards as cards with the cures that can be clicked."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import Final

from markupsafe import Markup

from slatewright.desk.bench.figures import name_of, ppo2_shown
from slatewright.desk.bench.profile_drawing import mark_picture, marks_of, pattern_picture
from slatewright.desk.bench.result import Result
from slatewright.desk.workings import Rule, Shown, rules_that_decided
from slatewright.dive.hazard import Hazard, Mend
from slatewright.dive.plan import Use
from slatewright.paper.dive_rows import Change, Row, dive_lines, hazards_by_row
from slatewright.paper.reading import depth_text
from slatewright.paper.theme import mixture_name
from slatewright.physics.mixture import Mixture


@dataclass(frozen=True, slots=True)
class GasSeen:
    """A gas as the page shows it.

    Parameters
    ----------
    name
        Its name.
    mark
        Its letter in its shape, as SVG.
    pattern
        Its line, as SVG.
    letter
        Its letter.
    """

    name: str
    mark: Markup
    pattern: Markup
    letter: str


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the schedule.

    Parameters
    ----------
    kind
        ``row``, ``change`` or ``way``.
    act
        What the diver does.
    depth, stop, leave, ppo2
        Its numbers; None where there are none.
    gas
        What is breathed, or is taken up.
    rate
        How fast a way goes, in words.
    hazards
        Numbers of the hazards that are worst there, counted from 1.
    """

    kind: str
    act: str
    depth: Shown | None = None
    stop: Shown | None = None
    leave: Shown | None = None
    ppo2: Shown | None = None
    gas: GasSeen | None = None
    rate: str = ""
    hazards: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class MendSeen:
    """A cure as a button.

    Parameters
    ----------
    words
        What it does.
    written
        What it changes, as the form carries it.
    """

    words: str
    written: str


@dataclass(frozen=True, slots=True)
class Card:
    """A hazard.

    Parameters
    ----------
    number
        Its number on the page, counted from 1.
    hazard
        The hazard.
    name
        What it is called.
    at
        When and where; empty for one of the whole dive.
    mends
        Cures that can be clicked.
    why_not
        Why none can, where there is a cure; empty otherwise.
    rules
        The house rules that decided.
    """

    number: int
    hazard: Hazard
    name: str
    at: str
    mends: tuple[MendSeen, ...]
    why_not: str
    rules: tuple[Rule, ...]


def gases_of(result: Result) -> dict[Mixture, GasSeen]:
    """Return the gases of a dive as the page shows them.

    Parameters
    ----------
    result
        The dive.
    """
    return {
        mix: GasSeen(mixture_name(mix), mark_picture(mark), pattern_picture(mark), mark.letter)
        for mix, mark in marks_of(result.dive).items()
    }


def legend_of(result: Result, gases: dict[Mixture, GasSeen]) -> tuple[GasSeen, ...]:
    """Return the gases of a dive as the legend names them: on a closed circuit with their use.

    Parameters
    ----------
    result
        The dive.
    gases
        Its gases.
    """
    plan = result.dive.plan
    if plan.loop is None:
        return tuple(gases.values())
    uses: dict[Mixture, list[str]] = {}
    for gas in plan.gases:
        uses.setdefault(gas.mix, []).append(_USES.get(gas.use, str(gas.use)))
    return tuple(
        replace(seen, name=f"{seen.name}, {' and '.join(uses.get(mix, ['loop']))}")
        for mix, seen in gases.items()
    )


_USES: Final = {Use.DILUENT: "diluent of the loop", Use.BAILOUT: "bailout"}


def schedule_of(result: Result, gases: dict[Mixture, GasSeen], how: str) -> tuple[Line, ...]:
    """Return the lines of the schedule.

    Parameters
    ----------
    result
        The dive.
    gases
        Its gases.
    how
        The path under which its accounts are served.
    """
    units, water = result.units, result.dive.plan.water
    lines = dive_lines(result.dive)
    marked = hazards_by_row(lines, result.hazards)
    seen = []
    for position, line in enumerate(lines):
        if isinstance(line, Row):
            account = f"{how}/line/{position}"
            seen.append(
                Line(
                    "row",
                    line.act,
                    depth=Shown(depth_text(line.depth_m, units)),
                    stop=None
                    if line.stop_min is None
                    else Shown(str(line.stop_min), account=account),
                    leave=Shown(str(line.leave_min), account=account if line.leave_min else ""),
                    ppo2=_plain(ppo2_shown(line, line.depth_m, water)),
                    gas=_breathed(line, gases),
                    hazards=tuple(number + 1 for number in marked.get(position, ())),
                )
            )
        elif isinstance(line, Change):
            depth = Shown(depth_text(line.depth_m, units), units.depth_unit)
            gas = _breathed(line, gases)
            seen.append(Line("change", line.verb.lower(), depth=depth, gas=gas))
        else:
            rate = f"{depth_text(line.rate_m_per_min, units)} {units.depth_unit}/min"
            seen.append(Line("way", line.act, rate=rate))
    return tuple(seen)


def _breathed(line: Row | Change, gases: dict[Mixture, GasSeen]) -> GasSeen:
    """Return what is breathed; a loop goes by its setpoint, with the mark of its diluent."""
    gas = gases[line.gas]
    return gas if line.setpoint_bar is None else replace(gas, name=name_of(line))


_CHOICE: Final = "no button: there is more than one way to do it, and you choose"
_WHY_NOT: Final = {
    "one-diver": "no button: who comes along is for people to say",
    "water-temperature": "no button: only you know the water",
}
"""Why a cure is no button; a cure that is not here leaves something to choose."""


def cards_of(result: Result) -> tuple[Card, ...]:
    """Return the hazards of a dive.

    Parameters
    ----------
    result
        The dive.
    """
    return tuple(
        card_of(number, hazard, result) for number, hazard in enumerate(result.hazards, start=1)
    )


def card_of(number: int, hazard: Hazard, result: Result) -> Card:
    """Return a hazard as a card.

    Parameters
    ----------
    number
        Its number.
    hazard
        The hazard.
    result
        The dive.
    """
    units = result.units
    at = ""
    if hazard.at_min > 0.0:
        at = f"{hazard.at_min:.0f} min, {depth_text(hazard.at_m, units)} {units.depth_unit}"
    return Card(
        number=number,
        hazard=hazard,
        name=hazard.code.replace("-", " "),
        at=at,
        mends=tuple(mend_seen(mend) for mend in hazard.mends),
        why_not="" if hazard.mends or not hazard.cure else _WHY_NOT.get(hazard.code, _CHOICE),
        rules=rules_that_decided(result.dive.plan.rules, hazard.house_rules),
    )


def mend_seen(mend: Mend) -> MendSeen:
    """Return a cure as a button.

    Parameters
    ----------
    mend
        The cure.
    """
    changes = [[list(change.path), change.value] for change in mend.changes]
    return MendSeen(mend.words, json.dumps([mend.words, changes], separators=(",", ":")))


def _plain(shown: Shown) -> Shown:
    """Return a number without its unit, for a column that has it at its head."""
    return Shown(shown.text, "", shown.formula, shown.values, shown.house_rules, shown.account)
