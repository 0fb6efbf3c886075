"""How the numbers of a course came about that are of no single formula."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from datetime import date
from typing import Final

from slatewright.course.buildup import BuildUp
from slatewright.course.buildup_load import flying_of
from slatewright.course.buildup_timeline import Made, Timed
from slatewright.course.exposure import DayDose
from slatewright.decompression.leg import Leg
from slatewright.desk.course.course_days import hours_text, key_of
from slatewright.desk.course.course_work import Work, library
from slatewright.desk.legs import act_words
from slatewright.desk.workings import Account, Row, Shown, references_of, rules_that_decided
from slatewright.dive.solving import doses_of
from slatewright.errors import InputError
from slatewright.paper.reading import minutes_up
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, round_up

_MODEL: Final = ("[BUEHLMANN2002]", "[BAKER1998b]")


def account_of(work: Work, what: str) -> Account:
    """Return how a number came about.

    Parameters
    ----------
    work
        The course.
    what
        Which number: the end of the path that its `Shown` has.

    Raises
    ------
    InputError
        If there is no such number.
    """
    name, *rest = what.split("/")
    count, account = _ACCOUNTS.get(name, (-1, None))
    if account is None or len(rest) != count:
        raise _nothing()
    return account(work, *rest)


def _nothing() -> InputError:
    return InputError("there is no such number", right="one of the page")


def _timed(built: BuildUp, key: str) -> Timed:
    found = next((timed for timed in built.timeline.dives if key_of(timed) == key), None)
    if found is None:
        raise _nothing()
    return found


def _name(built: BuildUp, place: str) -> str:
    people = built.course.people
    if not (place.isascii() and place.isdecimal() and len(place) < 4 and int(place) < len(people)):
        raise _nothing()
    return people[int(place)].name


def _made(timed: Timed, name: str) -> Made:
    if name not in timed.made:
        raise _nothing()
    return timed.made[name]


def _units(built: BuildUp) -> UnitSystem:
    return built.course.units


def _run(work: Work, key: str) -> Account:
    timed = _timed(work.built, key)
    if timed.schedule is None:
        raise _nothing()
    rows = [
        Row(_leg_words(leg, _units(work.built)), Shown(f"{leg.minutes:.1f}", "min"))
        for leg in timed.schedule.legs
    ]
    rows += [
        Row(f"{name} alone would need", Shown(str(minutes_up(made.own_runtime_min)), "min"))
        for name, made in timed.made.items()
    ]
    return Account(
        title=f"Run time of {timed.dive.called}",
        number=Shown(str(minutes_up(timed.schedule.runtime_min)), "min"),
        sentences=(
            (
                "All legs of the dive, one after the other, with the gas that is left in the "
                "tissues from the dives before it."
            ),
            (
                f"A team surfaces together, on the stops of the one who needs longest: here "
                f"{timed.longest}."
            ),
        ),
        rows=tuple(rows),
        rules=rules_that_decided(work.rules, ("whole_minutes", "breaks")),
        sources=_MODEL,
        references=references_of(_MODEL),
    )


def _leg_words(leg: Leg, units: UnitSystem) -> str:
    done = act_words(leg, units)
    if leg.setpoint_bar is not None:
        return f"{done} on the loop at {leg.setpoint_bar:g} bar, diluent {leg.gas}"
    return f"{done} on {leg.gas}"


def _load(work: Work, key: str) -> Account:
    built = work.built
    dive = _timed(built, key).dive
    if dive.elsewhere:
        raise _nothing()
    known = library().by_id
    rows = [
        Row(known[one].words if one in known else f"{one}, not in the list", _one(one))
        for one in dive.skills
    ]
    rows += [Row(f"new: {thing.words}", Shown("1")) for thing in built.novelty[dive.number].things]
    limit = built.course.limits.table.task_load
    rows.append(Row("allowed on a dive", Shown("no limit" if limit is None else f"{limit:g}")))
    return Account(
        title=f"Task load of {dive.called}",
        number=Shown(f"{built.load[dive.number]:g}"),
        sentences=(
            (
                "Each skill has a load from 1, done in passing, to 5, takes the whole mind, by the "
                "list of skills; each new thing counts 1."
            ),
            "The loads are common practice, no published source.",
        ),
        rows=tuple(rows),
    )


def _one(skill: str) -> Shown:
    known = library().by_id
    return Shown(f"{known[skill].load if skill in known else 1}")


def _before(built: BuildUp, timed: Timed, name: str) -> Timed | None:
    own = built.timeline.of(name)
    place = own.index(timed)
    return own[place - 1] if place else None


def _interval(work: Work, key: str, place: str) -> Account:
    built = work.built
    timed, name = _timed(built, key), _name(built, place)
    made, before = _made(timed, name), _before(built, timed, name)
    if before is None or made.interval_min is None or before.surfaced is None:
        raise _nothing()
    return Account(
        title=f"Surface interval of {name} before {timed.dive.called}",
        number=Shown(hours_text(made.interval_min), "h:min"),
        sentences=("From surfacing to leaving the surface again, whatever the course.",),
        rows=(
            Row(f"{before.dive.called} ends", Shown(f"{before.surfaced:%Y-%m-%d %H:%M}")),
            Row(f"{timed.dive.called} begins", Shown(f"{timed.dive.start:%Y-%m-%d %H:%M}")),
            Row("the least by this course", Shown(built.course.limits.table.least_interval)),
        ),
    )


def _cns(work: Work, key: str, place: str) -> Account:
    built = work.built
    timed, name = _timed(built, key), _name(built, place)
    made = _made(timed, name)
    carried = made.plan.carried
    start = carried.cns_pct if carried else 0.0
    rows = []
    before = _before(built, timed, name)
    if carried and before is not None and made.interval_min is not None:
        values = {
            "cns_pct": before.made[name].dose.cns_pct,
            "minutes": made.interval_min,
            "half_time_min": work.rules.cns_half_time_min,
        }
        finite = all(math.isfinite(value) for value in values.values())
        brought = Shown(f"{start:.1f}", "%", "cns-after-surface" if finite else "", values)
        rows.append(Row(f"left of {before.dive.called}", brought))
    elif carried:
        rows.append(Row("brought, by the plan", Shown(f"{start:.1f}", "%")))
    rows += [
        Row(f"on {gas}", Shown(f"{share:.1f}", "%"))
        for gas, share in _shares(made, start, "cns_pct").items()
    ]
    rows.append(Row("second opinion: risk of a symptom", Shown(f"{made.dose.risk_pct:.1f}", "%")))
    total = made.dose.cns_pct
    sources = ("[NOAA1991]",)
    return Account(
        title=f"CNS share of {name} after {timed.dive.called}",
        number=Shown(f"{total:.1f}", "%") if math.isfinite(total) else Shown("off the table"),
        sentences=(
            (
                "Each minute counts as a share of the time that its ppO2 is allowed for in a "
                "single exposure; the shares are added up, and fall by half in each half-time at "
                "the surface."
            ),
        ),
        rows=tuple(rows),
        rules=rules_that_decided(work.rules, ("oxygen_table", "cns_half_time_min")),
        sources=sources,
        references=references_of(sources),
    )


def _otu(work: Work, key: str, place: str) -> Account:
    timed, name = _timed(work.built, key), _name(work.built, place)
    made = _made(timed, name)
    carried = made.plan.carried
    start = carried.otu_today if carried else 0.0
    rows = [Row("earlier the same day", Shown(f"{start:.1f}", "OTU"))] if start else []
    rows += [
        Row(f"on {gas}", Shown(f"{share:.1f}", "OTU"))
        for gas, share in _shares(made, start, "otu").items()
    ]
    sources = ("[CLARK1970]",)
    return Account(
        title=f"Pulmonary dose of {name} after {timed.dive.called}",
        number=Shown(f"{made.dose.otu:.1f}", "OTU"),
        sentences=("Minutes above 0.5 atm of oxygen, weighed by ppO2, of all dives of the day.",),
        rows=tuple(rows),
        sources=sources,
        references=references_of(sources),
    )


def _shares(made: Made, before: float, name: str) -> dict[Mixture, float]:
    shares: dict[Mixture, float] = {}
    for leg, dose in zip(made.legs, doses_of(made.plan, made.legs), strict=True):
        after = float(getattr(dose, name))
        added = after - before if math.isfinite(after) else 0.0
        shares[leg.gas] = shares.get(leg.gas, 0.0) + added
        before = after
    return shares


def _dose(built: BuildUp, name: str, day: str) -> DayDose:
    for dose in built.timeline.days.get(name, ()):
        if dose.day.isoformat() == day:
            return dose
    raise _nothing()


def _dives_on(built: BuildUp, name: str, day: date) -> Iterator[tuple[Timed, float]]:
    for timed in built.timeline.of(name):
        if name in timed.made:
            for on, otu in timed.made[name].days:
                if on == day:
                    yield timed, otu


def _day(work: Work, place: str, day: str) -> Account:
    built, name = work.built, _name(work.built, place)
    dose = _dose(built, name, day)
    rows = [
        Row(timed.dive.called, Shown(f"{otu:.1f}", "OTU"))
        for timed, otu in _dives_on(built, name, dose.day)
    ]
    words = f"allowed on day {dose.day_of_run} of a run of days"
    rows.append(Row(words, Shown(f"{dose.allowed_otu:.0f}", "OTU")))
    return _oxygen_account(
        f"Pulmonary units of {name} on {day}",
        dose.otu,
        (
            (
                "What all dives of the day take, those of other courses too; what is breathed "
                "after midnight belongs to the next day. Shown rounded up."
            ),
            (
                "The allowance is that of the day counted from the first of the run, days without "
                "a dive among them."
            ),
        ),
        tuple(rows),
    )


def _days(work: Work, place: str, day: str) -> Account:
    built, name = work.built, _name(work.built, place)
    dose = _dose(built, name, day)
    run = [one for one in built.timeline.days[name] if one.day <= dose.day]
    run = run[-dose.dived_days :]
    rows = [Row(one.day.isoformat(), Shown(f"{one.otu:.1f}", "OTU")) for one in run]
    words = f"allowed on {dose.dived_days} day{'s' if dose.dived_days > 1 else ''} of diving"
    rows.append(Row(words, Shown(f"{dose.allowed_run_otu:.0f}", "OTU")))
    return _oxygen_account(
        f"Pulmonary units of {name} in the run of days until {day}",
        dose.run_otu,
        (
            (
                "A run of days ends when two whole days had no dive: common practice, no published "
                "source."
            ),
        ),
        tuple(rows),
    )


def _oxygen_account(
    title: str, otu: float, sentences: tuple[str, ...], rows: tuple[Row, ...]
) -> Account:
    sources = ("[CLARK1970]", "[HAMILTON1988]")
    return Account(
        title=title,
        number=Shown(str(round(round_up(otu))), "OTU"),
        sentences=sentences,
        rows=rows,
        sources=sources,
        references=references_of(sources),
    )


def _flying(work: Work, place: str) -> Account:
    built, name = work.built, _name(work.built, place)
    flying = flying_of(built.course, built.timeline, name)
    if flying is None:
        raise _nothing()
    rows = [
        Row(
            f"{timed.dive.called} ends, "
            f"{'with' if timed.made[name].first_stop_m is not None else 'without'} stops",
            Shown(f"{timed.surfaced:%Y-%m-%d %H:%M}"),
        )
        for timed in built.timeline.of(name)
        if timed.surfaced is not None
    ]
    rows.append(Row("the dive that decides ends", Shown(f"{flying.last:%Y-%m-%d %H:%M}")))
    rows.append(Row("after it", Shown(f"{flying.after_h:g}", "h")))
    sources = ("[SHEFFIELD2004]",)
    return Account(
        title=f"When {name} may fly",
        number=Shown(f"{flying.earliest:%Y-%m-%d %H:%M}"),
        sentences=(f"Not before: {flying.because}.",),
        rows=tuple(rows),
        sources=sources,
        references=references_of(sources),
    )


_ACCOUNTS: Final[dict[str, tuple[int, Callable[..., Account]]]] = {
    "run": (1, _run),
    "load": (1, _load),
    "interval": (2, _interval),
    "cns": (2, _cns),
    "otu": (2, _otu),
    "day": (2, _day),
    "days": (2, _days),
    "flying": (1, _flying),
}
"""By the first word of the path: how many words follow, and what they lead to."""
