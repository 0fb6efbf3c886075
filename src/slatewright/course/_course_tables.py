"""The tables of a course file, exactly as they are written.

A limit of depth carries two values, one for plans in metres and one for plans in feet, for 12 m
and 40 ft are the same rule and neither is the other converted; each dive is judged in the unit of
its own plan.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Annotated, Final, Literal

from pydantic import AfterValidator, BeforeValidator, PlainValidator, StringConstraints

from slatewright.dive.planfile import interval_min
from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem
from slatewright.toml.faults import refusal
from slatewright.toml.keys import key
from slatewright.toml.tables import Line, Lines, Table

SCHEMA: Final = "slatewright/course/1"
"""The first line of a course file says which kind of file it is."""
_CLOCK: Final = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])")
_NUMBER: Final = re.compile(r"#[1-9][0-9]{0,8}")


def clock(value: str | time) -> time:
    """Return the time of day of a word such as ``9:30``, or of a time of TOML.

    Parameters
    ----------
    value
        What is written.
    """
    if isinstance(value, time):
        return value
    hours, _, minutes = value.partition(":")
    return time(int(hours), int(minutes))


def _known_clock(value: object) -> object:
    if isinstance(value, time) and value.tzinfo is None:
        return value
    if isinstance(value, str) and _CLOCK.fullmatch(value.strip()):
        return value
    raise refusal("is no time of day", 'hours and minutes, local: "9:30"')


def _known_day(value: object) -> object:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    raise refusal("is no day", "a date without quotes: 2031-05-05")


def _known_plan(text: str) -> str:
    if text.startswith("#") and not _NUMBER.fullmatch(text):
        raise refusal(f"'{text}' is no number of a plan", 'a path, or a number such as "#12"')
    return text


def _known_interval(text: str) -> str:
    try:
        interval_min(text)
    except InputError as error:
        raise refusal(error.what, error.right) from None
    return text


Clock = Annotated[str | time, PlainValidator(_known_clock)]
"""A time of day, local: ``"9:30"``, or a time of TOML."""
Day = Annotated[date, BeforeValidator(_known_day)]
PlanWord = Annotated[Line, AfterValidator(_known_plan)]
Interval = Annotated[str, AfterValidator(_known_interval)]
Paragraph = Annotated[str, StringConstraints(min_length=1, max_length=6000)]
Paragraphs = Annotated[
    tuple[Paragraph, ...], BeforeValidator(lambda v: (v,) if isinstance(v, str) else v)
]
_M = {"unit": "m", "gt": 0, "le": 200}
_FT = {"unit": "ft", "gt": 0, "le": 656}


class LimitsTable(Table):
    """``[limits]``: what the instructor holds to. Each default is a habit, to be changed."""

    step_m: Annotated[float | None, key("deepest step, for plans in metres", "12", **_M)] = None
    step_ft: Annotated[float | None, key("the same, for plans in feet", "40", **_FT)] = None
    step_from: Annotated[
        Literal["last dive", "deepest dive"],
        key("from which dive of the diver a step is counted", '"last dive"'),
    ] = "last dive"
    first_helium_beyond_m: Annotated[
        float | None,
        key(
            "how far the first dive on helium may go beyond the diver's deepest",
            "10",
            unit="m",
            ge=0,
            le=200,
        ),
    ] = None
    first_helium_beyond_ft: Annotated[
        float | None, key("the same, for plans in feet", "33", unit="ft", ge=0, le=656)
    ] = None
    deepest_m: Annotated[float | None, key("greatest depth of the course", "100", **_M)] = None
    deepest_ft: Annotated[float | None, key("the same, for plans in feet", "330", **_FT)] = None
    dives_a_day: Annotated[int, key("most dives of a person in a day", "2", ge=1, le=6)] = 2
    dives_before_rest: Annotated[
        int, key("most dives in a row before a day without a dive", "5", ge=1, le=30)
    ] = 5
    least_interval: Annotated[Interval, key("least surface interval, h:mm", '"3:00"')] = "3:00"
    students_per_instructor: Annotated[
        int, key("most students in the water for one instructor", "2", ge=1, le=8)
    ] = 2
    new_a_dive: Annotated[int, key("most new things for a student on a dive", "3", ge=0, le=20)] = 3
    task_load: Annotated[
        float | None, key("most load of skills and new things on a dive", "8", gt=0, le=1000)
    ] = None
    task_load_rise: Annotated[
        float | None,
        key("how much more of it than on the dive before", "3", gt=0, le=1000),
    ] = None
    least_dives: Annotated[int, key("least dives of each student", "4", ge=0, le=100)] = 0
    least_runtime_min: Annotated[
        float | None,
        key("least run time of each student in all", "240", unit="min", ge=0, le=20000),
    ] = None
    fly_after_h: Annotated[
        float,
        key("hours without flying after a dive with stops", "48", unit="h", gt=18, le=168),
    ] = 48.0
    first_start: Annotated[Clock, key("no dive begins before", '"8:00"')] = "8:00"
    last_start: Annotated[Clock, key("no dive begins after", '"16:00"')] = "16:00"


class PersonTable(Table):
    """``[[student]]`` and ``[[instructor]]``."""

    name: Annotated[Line, key("the person's name, as in the plans", '"Tove"')]
    role: Annotated[Line | None, key("what the person does on the course", '"leads"')] = None
    deepest_m: Annotated[
        float | None, key("greatest depth dived before the course", "45", unit="m", ge=0, le=350)
    ] = None
    deepest_ft: Annotated[float | None, key("the same", "150", unit="ft", ge=0, le=1150)] = None
    helium_before: Annotated[bool, key("whether the person has dived on helium before", "true")] = (
        False
    )

    def deepest(self) -> tuple[float, UnitSystem] | None:
        """Return the greatest depth as it is written, with its unit; None if it is not."""
        if self.deepest_m is not None:
            return self.deepest_m, UnitSystem.METRIC
        if self.deepest_ft is not None:
            return self.deepest_ft, UnitSystem.IMPERIAL
        return None


class WhenTable(Table):
    """What stands at a day and a time."""

    on: Annotated[Day, key("the day", "2031-05-05")]
    at: Annotated[Clock, key("the time of day, local", '"9:30"')]

    def starts(self) -> datetime:
        """Return day and time as one."""
        return datetime.combine(self.on, clock(self.at))


class DiveTable(WhenTable):
    """``[[dive]]``: a dive of the course."""

    plan: Annotated[
        PlanWord, key("its plan file, or its number in the workspace", '"../1-the-shelf.toml"')
    ]
    who: Annotated[Lines | None, key("who dives; left out: all", '["Mirren", "Tove"]')] = None
    new: Annotated[
        Lines | None,
        key("what is new on it: a gas, a cylinder, a combination; [] for nothing", '["O2"]'),
    ] = None
    skills: Annotated[Lines, key("skills that are shown on it, by their ids", '["marker"]')] = ()
    simulated: Annotated[bool, key("whether its decompression is only simulated", "true")] = False
    note: Annotated[Line | None, key("a remark", '"at slack water"')] = None


class DayTable(Table):
    """``[[rest]]`` and ``[[lost_day]]``: a day without a dive, or one kept for bad weather."""

    on: Annotated[Day, key("the day", "2031-05-10")]
    note: Annotated[Line | None, key("a remark", '"the boat is in dock"')] = None


class ElsewhereTable(WhenTable):
    """``[[elsewhere]]``: a dive that an instructor makes in another course."""

    plan: Annotated[PlanWord, key("its plan", '"../other/2.toml"')]
    who: Annotated[Lines, key("which instructors", '"Mirren"')]


class FlightTable(WhenTable):
    """``[[flight]]``: when somebody flies."""

    who: Annotated[Lines | None, key("who flies; left out: all", '"Tove"')] = None


class AgreementTable(Table):
    """``[agreement]``: the school's own words."""

    fees: Annotated[Paragraphs, key("what the fees buy", '"..."', strict=False)] = ()
    lost_days: Annotated[Paragraphs, key("days lost to weather", '"..."', strict=False)] = ()
    remedial_days: Annotated[
        Paragraphs, key("days to repeat what was not shown", '"..."', strict=False)
    ] = ()
    ends_a_dive: Annotated[Paragraphs, key("limits that end a dive", '["..."]', strict=False)] = ()
    words: Annotated[Paragraphs, key("what else is agreed", '["..."]', strict=False)] = ()


class CourseTables(Table):
    """The whole file, its tables each sound by itself."""

    schema_: Annotated[
        Literal["slatewright/course/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    title: Annotated[Line, key("the course's name", '"A week on the Stair"')]
    units: Annotated[
        UnitSystem, key("the units in which it is talked of", '"metric"', strict=False)
    ]
    limits: Annotated[LimitsTable, key("what the instructor holds to", "[limits]")] = LimitsTable()
    instructor: Annotated[
        tuple[PersonTable, ...],
        key("who teaches", '[[instructor]] with name = "Mirren"', strict=False),
    ] = ()
    student: Annotated[
        tuple[PersonTable, ...],
        key("who learns", '[[student]] with name = "Tove"', strict=False),
    ] = ()
    dive: Annotated[
        tuple[DiveTable, ...],
        key("the dives", "[[dive]] with plan, on and at", strict=False),
    ]
    rest: Annotated[
        tuple[DayTable, ...],
        key("days without a dive", "[[rest]] with on = 2031-05-10", strict=False),
    ] = ()
    lost_day: Annotated[
        tuple[DayTable, ...],
        key("days kept for bad weather", "[[lost_day]] with on = 2031-05-12", strict=False),
    ] = ()
    elsewhere: Annotated[
        tuple[ElsewhereTable, ...],
        key("an instructor's other dives", "[[elsewhere]] with plan, on, at, who", strict=False),
    ] = ()
    flight: Annotated[
        tuple[FlightTable, ...],
        key("flights home", "[[flight]] with on and at", strict=False),
    ] = ()
    agreement: Annotated[AgreementTable, key("the school's own words", "[agreement]")] = (
        AgreementTable()
    )

    def people(self) -> Iterator[tuple[str, int, PersonTable]]:
        """Yield each person with the name and position of the table: instructors first."""
        for name in ("instructor", "student"):
            for position, person in enumerate(getattr(self, name, ())):
                yield name, position, person
