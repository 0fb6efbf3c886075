"""[SHEFFIELD2004] on flying after diving, and [HAMILTON1988] by days of the calendar."""

from __future__ import annotations

import csv
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from slatewright.course._course_tables import LimitsTable
from slatewright.course.exposure import doses_by_day
from slatewright.course.flying import (
    AFTER_STOPS_MORE_THAN_H,
    HABIT_AFTER_STOPS_H,
    Surfaced,
    earliest_flight,
)

AUTHORITIES = Path(__file__).parents[2] / "authorities"
WORKSHOP = "Sheffield and Vann (eds.), Flying after recreational diving, workshop of 2002"
REPEX = "Hamilton, Kenyon, Peterson, Repex, NOAA TR 88-1B (1988)"
LAST = datetime(2031, 5, 31, 15, 0)  # noqa: DTZ001 - local
EARLIER = timedelta(hours=20)


def raw(name: str) -> list[dict[str, str]]:
    lines = (AUTHORITIES / f"{name}.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def hours(*dives: Surfaced) -> float:
    """Return hours from the last surfacing, by what is chosen where nobody chooses."""
    found = earliest_flight(dives, LimitsTable().fly_after_h)
    return (found.earliest - LAST) / timedelta(hours=1)


OURS = {
    "single without stops": lambda: hours(Surfaced(LAST, stops=False)),
    "several a day or several days without stops": lambda: hours(
        Surfaced(LAST - EARLIER, stops=False), Surfaced(LAST, stops=False)
    ),
    "with stops": lambda: hours(Surfaced(LAST, stops=True)),
}


@pytest.mark.parametrize(
    "row", [pytest.param(r, id=r["dives"]) for r in raw("flying_after_diving_2002")]
)
def test_least_hours_before_flying(outside, row):
    ours = OURS[row["dives"]]()
    if row["least_h"]:
        outside.check(
            topic="Flying after diving",
            item=row["dives"],
            source=WORKSHOP,
            how=row["how"],
            published=float(row["least_h"]),
            ours=ours,
            tolerance=0.0,
            unit="h",
        )
        return
    outside.check(
        topic="Flying after diving",
        item=f"{row['dives']}: substantially longer than",
        source=WORKSHOP,
        how=row["how"],
        published=float(row["longer_than_h"]),
        ours=ours,
        tolerance=0.0,
        unit="h",
        reason="the print names no number; 48 h is ours, the long end of the habit",
        known_difference=True,
    )
    assert ours > 2 * float(row["longer_than_h"])


def test_the_habit_after_dives_with_stops(outside):
    for end, published in zip(("short", "long"), (24.0, 48.0), strict=True):
        outside.check(
            topic="Flying after diving",
            item=f"after dives with stops, the {end} end of the habit",
            source="the trade's custom",
            how="common practice, no published source",
            published=published,
            ours=HABIT_AFTER_STOPS_H[end == "long"],
            tolerance=0.0,
            unit="h",
        )
    assert HABIT_AFTER_STOPS_H[0] > AFTER_STOPS_MORE_THAN_H


@pytest.mark.parametrize("row", [pytest.param(r, id=r["exposure_days"]) for r in raw("repex_otu")])
def test_what_a_run_of_days_of_the_calendar_may_take(outside, row):
    """Days with a dive each, over a leap day and a month's end."""
    first, _, last = row["exposure_days"].partition("-")
    for count in sorted({int(first), int(last or first)}):
        days = {date(2032, 2, 20) + timedelta(days=i): 0.0 for i in range(count)}
        done = doses_by_day(days)[-1]
        average = float(row["avg_dose_per_day_OTU"])
        total = average * count if "/" in row["total_dose_OTU"] else float(row["total_dose_OTU"])
        for item, published, ours in (
            (f"day {count} of a run of days of the calendar", average, done.allowed_otu),
            (f"all of {count} days with a dive", total, done.allowed_run_otu),
        ):
            outside.check(
                topic="Oxygen: lungs",
                item=item,
                source=REPEX,
                how="read" if count == 1 else "from memory",
                published=published,
                ours=ours,
                tolerance=0.0,
                unit="OTU",
            )
