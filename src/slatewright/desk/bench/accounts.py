"""How the numbers of a dive came about that are of no single formula."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Final

from slatewright.decompression.leading import Leading, leading_on_reaching
from slatewright.decompression.leg import LegKind
from slatewright.decompression.oxygen import daily_allowance_otu
from slatewright.desk.bench.accounts_gas import cylinder_account
from slatewright.desk.bench.accounts_loop import (
    absorbent_account,
    bailout_account,
    feeding_account,
)
from slatewright.desk.bench.accounts_way import way_account
from slatewright.desk.bench.figures import name_of
from slatewright.desk.bench.minute import minute_account
from slatewright.desk.bench.result import Result
from slatewright.desk.legs import act_words
from slatewright.desk.workings import Account, Row, Shown, references_of, rules_that_decided
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError
from slatewright.paper.dive_rows import Row as DiveRow
from slatewright.paper.dive_rows import dive_lines, first_stop_m
from slatewright.paper.reading import depth_text, minutes_up

_MODEL: Final = ("[BUEHLMANN2002]", "[BAKER1998b]")
_LAST_TABLE_DAY: Final = 7
_SAME_M: Final = 1e-6
_SAME_MIN: Final = 1e-6


def account_of(result: Result, what: str) -> Account:
    """Return how a number came about.

    Parameters
    ----------
    result
        The dive.
    what
        Which number: the end of the path that its `Shown` has.

    Raises
    ------
    InputError
        If there is no such number.
    """
    name, *rest = what.split("/")
    numbers = [int(part) for part in rest if part.isdecimal() and len(part) < 5]
    account, most = _ACCOUNTS.get(name, (None, 0))
    if account is None or len(numbers) != len(rest) or len(numbers) not in _lengths(name, most):
        raise InputError(f"there is no account of '{what}'", right="a number of the page")
    return account(result, *numbers)


def _lengths(name: str, most: int) -> tuple[int, ...]:
    return (most - 1, most) if name == "way" else (most,)


def _runtime(result: Result) -> Account:
    dive = result.dive
    return _account(
        result,
        "Run time at the surface",
        Shown(str(minutes_up(dive.runtime_min)), "min"),
        (
            (
                "All legs of the dive, one after the other; a leg ends where depth, gas, setpoint "
                "or rate changes. Shown rounded up to whole minutes."
            ),
        ),
        tuple(
            Row(
                f"{act_words(leg, result.units)} on {name_of(leg)}",
                Shown(f"{leg.minutes:.1f}", "min"),
            )
            for leg in dive.legs
        ),
        ("whole_minutes", "breaks"),
        _MODEL,
    )


def _first_stop(result: Result) -> Account:
    dive, units = result.dive, result.units
    settings = dive.plan.settings
    stop_m = first_stop_m(dive)
    step = f"{depth_text(settings.stop_step_m, units)} {units.depth_unit}"
    said = (
        (
            "The first stop is the deepest level, a multiple of "
            f"{step}, from which the next one cannot be reached without passing the low line, "
            f"{settings.gradient_low * 100:g} % of the way from ambient pressure to the tolerated "
            "tension, on arrival there."
        ),
    )
    rows: tuple[Row, ...] = ()
    number = Shown("none")
    if stop_m is not None:
        number = Shown(depth_text(stop_m, units), units.depth_unit)
        arrived = next(
            leg
            for leg in dive.legs
            if leg.kind is LegKind.ASCENT and abs(leg.to_m - stop_m) < _SAME_M
        )
        rows = tuple(_leading_rows(_leading(dive, arrived.end_min), result))
    return _account(result, "The first stop", number, said, rows, (), _MODEL)


def _line(result: Result, position: int) -> Account:
    lines = dive_lines(result.dive)
    line = lines[position] if position < len(lines) else None
    if not isinstance(line, DiveRow):
        raise InputError("there is no such line of the schedule", right="one of the schedule")
    units, dive = result.units, result.dive
    depth = f"{depth_text(line.depth_m, units)} {units.depth_unit}"
    rows: list[Row] = []
    onward = next(
        (
            leg
            for leg in dive.legs
            if leg.kind is LegKind.ASCENT
            and abs(leg.from_m - line.depth_m) < _SAME_M
            and abs(leg.start_min - line.leave_min) < 1.0
        ),
        None,
    )
    if line.act not in {"stop", "break"}:
        title = f"Run time on leaving {depth}"
        said: tuple[str, ...] = ("As the plan asks, rounded to whole minutes.",)
        if line.act == "surface":
            title, said = "Run time at the surface", ("The sum of all that comes before.",)
    else:
        title = f"The stop at {depth}"
        said = (
            (
                "A stop ends at the first whole minute at which the ascent to the next level, with "
                "the gas exchange of that ascent, arrives on or under the line."
            ),
        )
    if onward is not None:
        rows.append(Row("arrives at the next level", Shown(f"{onward.end_min:.1f}", "min")))
        rows += _leading_rows(_leading(dive, onward.end_min), result)
    elif line.act in {"stop", "break"}:
        what = "gas" if line.setpoint_bar is None else "setpoint"
        said = (*said, f"Here the {what} changes, and the stop goes on with the line below.")
    number = Shown(str(line.leave_min), "min of run time")
    return _account(result, title, number, said, tuple(rows), ("whole_minutes",), _MODEL)


def _leading(dive: Schedule, at_min: float) -> Leading:
    plan = dive.plan
    return leading_on_reaching(
        dive.legs, at_min, plan.settings, plan.water, dive.start, dive.first_stop_m
    )


def _leading_rows(one: Leading, result: Result) -> Iterator[Row]:
    settings, units = result.dive.plan.settings, result.units
    where = f"{depth_text(one.at_m, units)} {units.depth_unit}" if one.at_m > 0.0 else "the surface"
    gradient = Shown(
        f"{one.gradient * 100:.1f}",
        "%",
        "gradient-factor",
        {
            "level": round(one.level),
            "first_stop": round(one.first_stop),
            "low": settings.gradient_low,
            "high": settings.gradient_high,
        },
    )
    yield Row(f"gradient factor at {where}", gradient)
    yield Row(
        f"nitrogen in compartment {one.number} of 16, which leads",
        Shown(f"{one.n2_bar:.3f}", "bar"),
    )
    yield Row("helium in it", Shown(f"{one.he_bar:.3f}", "bar"))
    values = {
        "n2_bar": one.n2_bar,
        "he_bar": one.he_bar,
        "ambient_bar": one.ambient_bar,
        "gradient": one.gradient,
        "n2_a_bar": one.n2_a_bar,
        "he_a_bar": one.he_a_bar,
        "n2_b": one.n2_b,
        "he_b": one.he_b,
    }
    over = Shown(f"{one.excess_bar:+.3f}", "bar", "excess-over-line", values)
    yield Row("over its line on arrival", over)


def _cns(result: Result) -> Account:
    dive = result.dive
    total, carried = dive.oxygen.cns_pct, dive.plan.carried
    number = Shown(f"{total:.1f}", "%") if math.isfinite(total) else Shown("off the table")
    rows = []
    before = carried.cns_pct if carried else 0.0
    if carried:
        rows.append(Row("carried in", Shown(f"{before:.1f}", "%")))
    rows += [
        Row(f"on {name}", Shown(f"{share:.1f}", "%"))
        for name, share in _shares(result, before, "cns_pct").items()
    ]
    rows.append(Row("second opinion: risk of a symptom", Shown(f"{dive.oxygen.risk_pct:.1f}", "%")))
    said = (
        (
            "Each minute counts as a share of the time that its ppO2 is allowed for in a single "
            "exposure; the shares are added up. Above 80 % the plan is warned, above 100 % it is a "
            "danger."
        ),
    )
    rules = ("oxygen_table", "cns_half_time_min") if carried else ("oxygen_table",)
    return _account(
        result, "CNS share on surfacing", number, said, tuple(rows), rules, ("[NOAA1991]",)
    )


def _otu(result: Result) -> Account:
    dive, carried = result.dive, result.dive.plan.carried
    before = carried.otu_today if carried else 0.0
    day = carried.day if carried else 1
    rows = [Row("earlier today", Shown(f"{before:.0f}", "OTU"))] if before else []
    rows += [
        Row(f"on {name}", Shown(f"{share:.1f}", "OTU"))
        for name, share in _shares(result, before, "otu").items()
    ]
    allowed = daily_allowance_otu(min(day, _LAST_TABLE_DAY))
    rows.append(Row(f"allowed on day {day} of diving", Shown(f"{allowed:.0f}", "OTU")))
    said = (
        "Minutes above 0.5 atm of oxygen, weighed by ppO2. A day's dose does not reset overnight.",
    )
    sources = ("[CLARK1970]", "[HAMILTON1988]")
    number = Shown(f"{dive.oxygen.otu:.1f}", "OTU")
    return _account(result, "Pulmonary dose on surfacing", number, said, tuple(rows), (), sources)


def _shares(result: Result, before: float, name: str) -> dict[str, float]:
    """Return what was added on each gas, on a closed circuit at each setpoint."""
    shares: dict[str, float] = {}
    dive = result.dive
    for leg, dose in zip(dive.legs, dive.oxygen_after_leg, strict=True):
        after = float(getattr(dose, name))
        added = after - before if math.isfinite(after) else 0.0
        breathed = name_of(leg)
        shares[breathed] = shares.get(breathed, 0.0) + added
        before = after
    return shares


def _check(result: Result) -> Account:
    verdict = result.dive.verdict
    said = (
        (
            "Every schedule is judged again from the beginning, by a way of its own: what it "
            "confirms is that no compartment passes its line, that everything breathed may be "
            "breathed, that legs join, and that the first stop is the right one."
        ),
        f"How: {verdict.method}.",
    )
    rows = (
        Row("arrivals held against the line", Shown(str(verdict.checked_levels))),
        Row("nearest to the line", Shown(f"{verdict.largest_excess_bar:+.4f}", "bar")),
    )
    number = Shown("passed" if verdict.passed else "failed")
    return _account(result, "The second check", number, said, rows, (), _MODEL)


def _account(
    result: Result,
    title: str,
    number: Shown,
    sentences: tuple[str, ...],
    rows: tuple[Row, ...],
    rules: tuple[str, ...],
    sources: tuple[str, ...],
) -> Account:
    return Account(
        title=title,
        number=number,
        sentences=sentences,
        rows=rows,
        rules=rules_that_decided(result.dive.plan.rules, rules),
        sources=sources,
        references=references_of(sources),
    )


_ACCOUNTS: Final[dict[str, tuple[Callable[..., Account], int]]] = {
    "runtime": (_runtime, 0),
    "first-stop": (_first_stop, 0),
    "cns": (_cns, 0),
    "otu": (_otu, 0),
    "check": (_check, 0),
    "line": (_line, 1),
    "cylinder": (cylinder_account, 2),
    "feeding": (feeding_account, 2),
    "absorbent": (absorbent_account, 1),
    "bailout": (bailout_account, 2),
    "minute": (minute_account, 0),
    "way": (way_account, 2),
}
"""By the first word of the path; the most numbers that may follow, of which the last of a way may
be left out."""
