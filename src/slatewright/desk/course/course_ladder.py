"""The depths of a course along its days, drawn as a chart: water, land on days ashore, leads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from html import escape
from typing import Final

from markupsafe import Markup

from slatewright.course.buildup_course import Course
from slatewright.course.buildup_findings import Finding
from slatewright.course.buildup_timeline import Timed, Timeline
from slatewright.desk.bench import svg
from slatewright.paper.reading import depth_text
from slatewright.physics.units import UnitSystem, m_from_feet

_LEFT_PX: Final = 44.0
_RIGHT_PX: Final = 12.0
_TOP_PX: Final = 58.0
_DEEP_PX: Final = 264.0
_FOOT_PX: Final = 10.0
_WIDE_PX: Final = 1120.0
_COLUMN_PX: Final = 76.0
_GAP_PX: Final = 26.0
_MOST_IDLE: Final = 3
"""So many days without anything are drawn; more are left out, and a break says so."""
_BANDS: Final = 7
_STEP: Final = {UnitSystem.METRIC: 15.0, UnitSystem.IMPERIAL: 50.0}
_ROOM: Final = 1.08
_FAR: Final = 1.35
"""A limit that is so much deeper than the deepest dive is not drawn."""
_LEAD: Final = ((-2.6, -15.0), (2.6, -15.0), (5.6, 0.0), (-5.6, 0.0))
_HOURS: Final = (7, 20)
_TALL: Final = 26.0


@dataclass(frozen=True, slots=True)
class _Column:
    day: date | None
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where things lie."""

    columns: tuple[_Column, ...]
    first_min: int
    last_min: int
    deepest_m: float
    width: float

    def x(self, at: datetime) -> float:
        column = next(one for one in self.columns if one.day == at.date())
        share = (at.hour * 60 + at.minute - self.first_min) / (self.last_min - self.first_min)
        return column.left + (column.right - column.left) * min(max(share, 0.0), 1.0)

    def y(self, depth_m: float) -> float:
        return _TOP_PX + _DEEP_PX * depth_m / self.deepest_m

    @property
    def bottom(self) -> float:
        return _TOP_PX + _DEEP_PX


def ladder_of(
    course: Course, timeline: Timeline, findings: Sequence[Finding], *, still: bool = False
) -> Markup:
    """Draw the depths of a course along its days, depth downward, one lead a dive.

    Parameters
    ----------
    course
        The course.
    timeline
        Its dives, in order of time.
    findings
        What is found of them.
    still
        True for a picture in which nothing leads anywhere.

    Returns
    -------
    Markup
        Each lead of the course leads to its dive; a script may move it along the days.
    """
    sheet, units = _sheet(course, timeline), course.units
    inside = [*_water(sheet, units), *_days(course, sheet), *_limit(course, sheet)]
    own = [timed for timed in timeline.dives if not timed.dive.elsewhere]
    if len(own) > 1:
        ends = [(sheet.x(t.dive.start), sheet.y(t.dive.deepest.depth_m)) for t in own]
        inside.append(svg.path("rungs", ends))
    inside.append(svg.line("surface", _LEFT_PX, _TOP_PX, sheet.width - _RIGHT_PX, _TOP_PX))
    for flight in course.flights:
        x = sheet.x(flight.start)
        inside.append(svg.path("flight", ((x - 5, _TOP_PX), (x, _TOP_PX - 9), (x + 5, _TOP_PX))))
    against = {(one.elsewhere, one.dive) for one in findings if one.violates}
    for timed in timeline.dives:
        wrong = timed.dive.key in against
        inside.append(_lead(sheet, timed, units, wrong=wrong, still=still))
    if not still:
        inside.append('<text class="drop-word mid" x="0" y="0"></text>')
    told = ", ".join(_told(timed, units) for timed in timeline.dives)
    more = (
        f'role="group" data-first="{sheet.first_min}" data-last="{sheet.last_min}" '
        f'data-left="{svg.number(_LEFT_PX)}"'
    )
    return svg.picture(
        "ladder",
        sheet.width,
        sheet.bottom + _FOOT_PX,
        f"Greatest depths along the days: {told}",
        inside,
        "" if still else more,
    )


def _told(timed: Timed, units: UnitSystem) -> str:
    depth = depth_text(timed.dive.deepest.depth_m, units)
    return f"{_day(timed.dive.start.date())} {depth} {units.depth_unit}"


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"


def _sheet(course: Course, timeline: Timeline) -> _Sheet:
    marked = {timed.dive.start.date() for timed in timeline.dives}
    marked |= course.rest | course.lost | {flight.start.date() for flight in course.flights}
    days = sorted(marked)
    shown: list[date | None] = []
    for place, day in enumerate(days):
        if place:
            idle = (day - days[place - 1]).days - 1
            if idle > _MOST_IDLE:
                shown.append(None)
            else:
                shown += [days[place - 1] + timedelta(days=i) for i in range(1, idle + 1)]
        shown.append(day)
    gaps = sum(day is None for day in shown)
    whole = _WIDE_PX - _LEFT_PX - _RIGHT_PX - gaps * _GAP_PX
    each = max(_COLUMN_PX, whole / max(1, len(shown) - gaps))
    columns, left = [], _LEFT_PX
    for day_shown in shown:
        right = left + (_GAP_PX if day_shown is None else each)
        columns.append(_Column(day_shown, left, right))
        left = right
    minutes = [t.dive.start.hour * 60 + t.dive.start.minute for t in timeline.dives]
    minutes += [flight.start.hour * 60 + flight.start.minute for flight in course.flights]
    first = min([_HOURS[0] * 60, *minutes])
    last = max([_HOURS[1] * 60, *minutes])
    deepest = max((timed.dive.deepest.depth_m for timed in timeline.dives), default=1.0)
    ends_m = _limit_m(course)
    reach = max(deepest, ends_m) if ends_m <= deepest * _FAR else deepest
    return _Sheet(tuple(columns), first, last, reach * _ROOM, left + _RIGHT_PX)


def _limit_m(course: Course) -> float:
    pair = course.limits.deepest
    return pair.m if course.units is UnitSystem.METRIC else m_from_feet(pair.ft)


def _water(sheet: _Sheet, units: UnitSystem) -> list[str]:
    found, right = [], sheet.width - _RIGHT_PX
    step = _STEP[units]
    for band in range(_BANDS):
        top_m = step * band if units is UnitSystem.METRIC else m_from_feet(step * band)
        if top_m >= sheet.deepest_m:
            break
        top = sheet.y(top_m)
        found.append(svg.rect(f"tint-{band + 1}", _LEFT_PX, top, right, sheet.bottom))
        if band:
            found.append(svg.line("isobath", _LEFT_PX, top, right, top))
            found.append(svg.text("axis end", _LEFT_PX - 7, top, f"{step * band:g}"))
    found.append(svg.text("axis end", _LEFT_PX - 7, _TOP_PX, units.depth_unit))
    return found


def _days(course: Course, sheet: _Sheet) -> list[str]:
    found = []
    for column in sheet.columns:
        middle = (column.left + column.right) / 2
        if column.day is None:
            found.append(svg.rect("left-out", column.left, _TOP_PX, column.right, sheet.bottom))
            found.append(svg.text("axis mid", middle, _TOP_PX - 16, "..."))
            continue
        if column.day in course.rest:
            found.append(svg.rect("land", column.left, _TOP_PX, column.right, sheet.bottom))
            sides = (column.left, column.right)
            found += [svg.line("shore", side, _TOP_PX, side, sheet.bottom) for side in sides]
            found.append(svg.text("word-shore mid", middle, _TOP_PX + _TALL, "ashore"))
        elif column.day in course.lost:
            found.append(svg.rect("kept-day", column.left, _TOP_PX, column.right, sheet.bottom))
            found.append(svg.text("word-kept mid", middle, _TOP_PX + _TALL, "kept for"))
            found.append(svg.text("word-kept mid", middle, _TOP_PX + _TALL + 14, "weather"))
        found.append(svg.line("day-edge", column.left, _TOP_PX - 6, column.left, _TOP_PX))
        found.append(svg.text("axis mid", middle, _TOP_PX - 35, f"{column.day:%a}"))
        words = f"{column.day.day} {column.day:%b}"
        found.append(svg.text("word-name mid", middle, _TOP_PX - 19, words))
        place = svg.rect("day-of", column.left, 0, column.right, sheet.bottom)
        found.append(place.replace("/>", f' data-day="{column.day.isoformat()}"/>'))
    return found


def _limit(course: Course, sheet: _Sheet) -> list[str]:
    ends_m = _limit_m(course)
    if ends_m > sheet.deepest_m:
        return []
    units, y = course.units, sheet.y(ends_m)
    words = f"the course ends at {depth_text(ends_m, units)} {units.depth_unit}"
    return [
        svg.line("course-end", _LEFT_PX, y, sheet.width - _RIGHT_PX, y),
        svg.text("word-small end broken", sheet.width - _RIGHT_PX - 6, y + 10, words),
    ]


def _lead(sheet: _Sheet, timed: Timed, units: UnitSystem, *, wrong: bool, still: bool) -> str:
    dive = timed.dive
    x, y = sheet.x(dive.start), sheet.y(dive.deepest.depth_m)
    weight = [(x + dx, y + dy) for dx, dy in _LEAD]
    kind = "elsewhere" if dive.elsewhere else "own"
    words = depth_text(dive.deepest.depth_m, units)
    parts = [svg.line("line", x, _TOP_PX, x, y - 12), svg.path("weight", weight, closed=True)]
    if wrong:
        parts.append(svg.shape("ring", (), x, y - 6, 14.0))
    told = [
        svg.text("word-level broken", x + (19 if wrong else 10), y - 5, words),
        svg.text("word-small mid broken", x, _TOP_PX + 12, f"{dive.start:%H:%M}"),
    ]
    if not (dive.elsewhere or still):
        label = (
            f"Dive {dive.number}, {dive.plan.title}, {_day(dive.start.date())}, "
            f"{dive.start:%H:%M}{', with findings against it' if wrong else ''}"
        )
        grip = svg.rect("grip", x - 13, _TOP_PX, x + 13, y + 6)
        start = f'<a href="#dive-{dive.number}" aria-label="{escape(label)}">'
        parts = [start, grip, *parts, "</a>"]
    drawn = "".join((*parts, *told))
    more = "" if dive.elsewhere else f' data-dive="{dive.number}" data-x="{svg.number(x)}"'
    return f'<g class="lead {kind}"{more}>{drawn}</g>'
