"""``slatewright course``: a course built up, on screen, as JSON, as calendar and tables."""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from slatewright.cli import environment, files
from slatewright.cli.judging import working
from slatewright.cli.reporting import refusals, say
from slatewright.errors import NoSafeAnswer, Reason

if TYPE_CHECKING:
    from slatewright.course.buildup import BuildUp
    from slatewright.course.coursefile import CourseFile
    from slatewright.course.proposal import Proposal

CALENDAR: Final = files.Kind("--calendar", ".ics", b"BEGIN:VCALENDAR")
TABLES: Final = files.Kind("--tables", ".xlsx", b"PK")
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
"""When a calendar says that it was written: the same course gives the same bytes."""


def run_course(
    file: Path,
    *,
    as_json: bool,
    propose: bool,
    calendar: Path | None,
    tables: Path | None,
    house: Path | None,
    prices: Path | None = None,
) -> None:
    """Build a course up, write what was asked for, and print it.

    Parameters
    ----------
    file
        The course file.
    as_json
        True for the document instead of text.
    propose
        True to look for a better order, days and hours.
    calendar, tables
        Where to write them; None for nowhere.
    house
        A file of house rules; None for the person's own, or those as shipped.
    prices
        A price list; None to leave the cost out.
    """
    with refusals(str(file)):
        files.check_plan(file)
        for target, kind in ((calendar, CALENDAR), (tables, TABLES)):
            if target is not None:
                files.check_target(target, kind)
        built, course, proposal = _built(
            file, environment.house_rules_path(house), prices, propose=propose
        )
        wrote = _written(built, course, calendar, tables)
        if as_json:
            sys.stdout.write(f"{json.dumps(_document(built), indent=2, allow_nan=False)}\n")
            for line in wrote:
                say(line)
        else:
            from slatewright.cli.console import make_console  # noqa: PLC0415 - start-up is budgeted
            from slatewright.cli.course_view import show_course  # noqa: PLC0415 - as above

            show_course(make_console(), built, proposal)
            if wrote:
                sys.stdout.write("\n".join(["", *wrote, ""]))
        if not built.clean:
            sys.stdout.flush()
    if not built.clean:
        with refusals(str(file), refused="the course goes beyond its limits"):
            raise NoSafeAnswer(
                *(Reason(one.text, one.cure) for one in built.findings if one.violates)
            )


def _built(
    file: Path, house: Path | None, prices: Path | None, *, propose: bool
) -> tuple[BuildUp, CourseFile, Proposal | None]:
    environment.prefer_interpreter()
    from slatewright.course.buildup import GasWanted, build_up  # noqa: PLC0415 - as above
    from slatewright.course.buildup_course import course_of  # noqa: PLC0415 - as above
    from slatewright.course.buildup_skills import (  # noqa: PLC0415 - as above
        judged,
        load_by,
        skills_of,
    )
    from slatewright.course.buildup_timeline import Solver  # noqa: PLC0415 - as above
    from slatewright.course.coursefile import (  # noqa: PLC0415 - as above
        plans_beside,
        read_course_file,
    )
    from slatewright.course.skillfile import shipped_skills  # noqa: PLC0415 - as above
    from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - as above
    from slatewright.fill.pricefile import read_prices  # noqa: PLC0415 - as above

    rules = read_house_rules(house)
    gas = GasWanted(None if prices is None else read_prices(prices))
    said = read_course_file(file)
    course = course_of(said, plans_beside(file), text=file.read_text("utf-8-sig"), path=file)
    library = shipped_skills()
    solver, load, proposal = Solver(rules), load_by(library), None
    with working("Building the course up"):
        built = build_up(course, rules, load=load, gas=gas, solver=solver)
        built = judged(built, skills_of(built, library, rules))
    if propose:
        from slatewright.course.proposal import propose as look  # noqa: PLC0415 - as above

        with working("Looking for a better order"):
            proposal = look(course, solver, load=load)
    return built, said, proposal


def _written(
    built: BuildUp, course: CourseFile, calendar: Path | None, tables: Path | None
) -> list[str]:
    wrote = []
    if calendar is not None:
        from slatewright.paper.calendar import calendar_ics  # noqa: PLC0415 - as above
        from slatewright.paper.course_dates import calendar_of  # noqa: PLC0415 - as above

        content = calendar_ics(calendar_of(built, course, course.title), _EPOCH)
        files.write_whole(calendar, content, f"{CALENDAR.option} {calendar}")
        wrote.append(f"The dates are in {calendar}.")
    if tables is not None:
        from slatewright.paper.course_dates import gas_totals, rows_of  # noqa: PLC0415 - as above
        from slatewright.paper.tables import tables_xlsx  # noqa: PLC0415 - as above
        from slatewright.paper.tables_course import (  # noqa: PLC0415 - as above
            buildup_sheet,
            gas_totals_sheet,
        )

        sheets = [buildup_sheet(rows_of(built), units=course.units)]
        sheets.append(gas_totals_sheet(gas_totals(built), units=course.units))
        files.write_whole(tables, tables_xlsx(sheets), f"{TABLES.option} {tables}")
        wrote.append(f"The tables are in {tables}.")
    return wrote


def _document(built: BuildUp) -> dict[str, Any]:
    from slatewright.course.course_document import buildup_document  # noqa: PLC0415 - as above

    return buildup_document(built)
