"""What is asked, held against a candidate: the number, the dives, the working, the outlook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from slatewright.course.candidates import Candidate, Certificate, kind_word
from slatewright.course.pace import Forecast, From, Outlook, Pace, forecast
from slatewright.course.rule_conditions import Given, Within
from slatewright.course.rule_counting import Remark, Tally, tally
from slatewright.course.rule_periods import age_on, birthday
from slatewright.course.rules import AgeAsked, Asked, CardsAsked, DivesAsked
from slatewright.logs.logged import LoggedDive

NO_PACE: Final = "A certificate does not come at a pace: no date."


@dataclass(frozen=True, slots=True, kw_only=True)
class PartResult:
    """One thing asked, and what the candidate has.

    Parameters
    ----------
    asks
        What is asked, in plain words made from the numbers.
    of
        What is counted: ``years``, ``certificates`` or ``dives``.
    count
        How many there are.
    needed
        How many are needed.
    working
        How it was counted, in sentences.
    forecast
        When it would be met.
    counted
        The very dives that count.
    certificates
        The certificates that count.
    borders
        Dives that count only in the unit in which they were logged.
    near
        Dives that miss by little, and why.
    unknown
        Dives that would count if the log said what it leaves out, and what that is.
    missing
        What else is not known, such as the birthday; empty if nothing is missing.
    outlook
        When it is met, as what can be asked.
    """

    asks: str
    of: str
    count: int
    needed: int
    working: tuple[str, ...]
    forecast: Forecast
    counted: tuple[LoggedDive, ...] = ()
    certificates: tuple[Certificate, ...] = ()
    borders: tuple[Remark, ...] = ()
    near: tuple[Remark, ...] = ()
    unknown: tuple[Remark, ...] = ()
    missing: str = ""
    outlook: Outlook = field(repr=False, compare=False)

    @property
    def met(self) -> bool:
        """Whether there are enough."""
        return self.count >= self.needed

    @property
    def may_be_met(self) -> bool:
        """Whether it is not met, and would be if the log said what it leaves out."""
        return not self.met and (
            bool(self.missing) or self.count + len(self.unknown) >= self.needed
        )


def hold_against(
    asked: Asked, candidate: Candidate, dives: Sequence[LoggedDive], given: Given
) -> PartResult:
    """Hold what is asked against a candidate.

    Parameters
    ----------
    asked
        What is asked.
    candidate
        The candidate.
    dives
        The candidate's dives in the order of their days.
    given
        Day and team.
    """
    if isinstance(asked, AgeAsked):
        return _age(asked, candidate, given)
    if isinstance(asked, CardsAsked):
        return _cards(asked, candidate, given)
    return _dives(asked, dives, given)


def _age(asked: AgeAsked, candidate: Candidate, given: Given) -> PartResult:
    born_on = candidate.born_on
    if born_on is None:
        return PartResult(
            asks=str(asked), of="years", count=0, needed=asked.years,
            working=("The birthday is not known, so that the age is not counted.",),
            missing="the birthday", outlook=From(None),
            forecast=Forecast(None, "No date: the birthday is not known."),
        )  # fmt: skip
    years, day = age_on(born_on, given.today), birthday(born_on, asked.years)
    leaps = (born_on.month, born_on.day) == (2, 29)  # else nobody asks which day it is
    working = [
        f"Born on {born_on}: {years} years old on {given.today}.",
        f"{asked.years} years old from {day} on"
        + ("; in years without 29 February a birthday on it counts on 1 March." if leaps else "."),
    ]
    met = day <= given.today
    says = "Met today." if met else f"On {day}, the birthday."
    return PartResult(
        asks=str(asked), of="years", count=years, needed=asked.years, working=tuple(working),
        forecast=Forecast(given.today if met else day, says), outlook=From(day),
    )  # fmt: skip


def _cards(asked: CardsAsked, candidate: Candidate, given: Given) -> PartResult:
    wanted = tuple(map(kind_word, asked.kinds))
    serving = [card for card in candidate.certificates if card.kinds.intersection(wanted)]
    held = [one for one in serving if one.issued_on is None or one.issued_on <= given.today]
    allowed = [kind for kind in wanted if any(kind in card.kinds for card in held)]
    lacking = [kind for kind in wanted if kind not in allowed]
    count = len(allowed) if asked.every else min(len(allowed), 1)
    working = [f"{_number(len(candidate.certificates), 'certificate')} on file."]
    working += [
        f"{card} allows {', '.join(sorted(card.kinds.intersection(wanted)))}"
        + (f", issued on {card.issued_on}." if card.issued_on else ", day of issue not known.")
        for card in held
    ]
    working += [
        f"{card} is issued only on {card.issued_on}." for card in serving if card not in held
    ]
    if count < asked.needed:
        link = ", " if asked.every else " or "
        working.append(f"None is held for {link.join(lacking)}.")
    coming = [
        min((c.issued_on for c in serving if kind in c.kinds and c.issued_on), default=None)
        for kind in lacking
    ]
    days = [day for day in coming if day is not None]
    if count >= asked.needed:
        told, outlook = Forecast(given.today, "Met today."), From(given.today)
    elif days and (not asked.every or len(days) == len(coming)):
        day = max(days) if asked.every else min(days)
        told, outlook = Forecast(day, f"On {day}, the day of issue."), From(day)
    else:
        told, outlook = Forecast(None, NO_PACE), From(None)
    return PartResult(
        asks=str(asked), of="certificates", count=count, needed=asked.needed,
        working=tuple(working), certificates=tuple(held), forecast=told, outlook=outlook,
    )  # fmt: skip


def _dives(asked: DivesAsked, dives: Sequence[LoggedDive], given: Given) -> PartResult:
    found = tally(dives, asked, given)
    pace = Pace(
        days=[dive.on_date for dive in found.matching],
        needed=asked.needed,
        periods=tuple(one.period for one in asked.conditions if isinstance(one, Within)),
        today=given.today,
    )
    return PartResult(
        asks=str(asked), of="dives", count=len(found.counted), needed=asked.needed,
        working=tuple(_counting_words(found, asked, given)), counted=found.counted,
        borders=found.borders, near=found.near, unknown=found.unknown,
        forecast=forecast(pace), outlook=pace,
    )  # fmt: skip


def _counting_words(found: Tally, asked: DivesAsked, given: Given) -> list[str]:
    """Return the sentences of a count: what is left after each condition."""
    words = [f"{_number(found.logged, 'dive')} logged up to {given.today}."]
    for condition, left in found.steps:
        days = ""
        if isinstance(condition, Within):
            first, last = condition.period.first(given.today), condition.period.last(given.today)
            days = f" ({first} to {last}, both days included)"
        words.append(f"Of these, {left} {condition}{days}.")
    count = len(found.counted)
    short = asked.needed - count
    verdict = "enough" if short <= 0 else f"{short} short"
    words.append(f"{count} counted, {asked.needed} needed: {verdict}.")
    if found.borders:
        words.append(f"{len(found.borders)} of them only in the unit in which they were logged.")
    if found.unknown:
        words.append(f"{len(found.unknown)} not counted because the log does not say enough.")
    return words


def _number(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
