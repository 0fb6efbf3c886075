"""The commands around a course and its price; what one needs is imported when it runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slatewright.cli.options import House, Json


def course(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The course file, in TOML.")],
    *,
    json: Json = False,
    propose: Annotated[
        bool, typer.Option("--propose", help="Look for a better order, days and hours.")
    ] = False,
    calendar: Annotated[
        Path | None,
        typer.Option("--calendar", metavar="OUT.ics", help="Write its dates for a calendar."),
    ] = None,
    tables: Annotated[
        Path | None,
        typer.Option("--tables", metavar="OUT.xlsx", help="Write its tables for a spreadsheet."),
    ] = None,
    prices: Annotated[
        Path | None,
        typer.Option("--prices", metavar="FILE", help="A price list, for the cost of the gas."),
    ] = None,
    house: House = None,
) -> None:
    """Build a course up.

    Parameters
    ----------
    file
        The course file.
    json
        True for one JSON document on standard output.
    propose
        True to look for a better order, days and hours.
    calendar, tables
        Where to write the dates and the tables.
    prices
        A price list.
    house
        A file of house rules.
    """
    from slatewright.cli.course_command import run_course  # noqa: PLC0415 - start-up is budgeted

    run_course(
        file, as_json=json, propose=propose, calendar=calendar, tables=tables, house=house,
        prices=prices,
    )  # fmt: skip


def book(
    course: Annotated[
        int | None,
        typer.Argument(metavar="COURSE", help="The number of the course; none to list them."),
    ] = None,
    *,
    workspace: Annotated[
        str | None, typer.Option("--workspace", metavar="FOLDER", help="The workspace.")
    ] = None,
    head: Annotated[
        str | None, typer.Option("--head", metavar="HASH", help="A head that was kept elsewhere.")
    ] = None,
) -> None:
    """Verify the sign-off book of a course, or list the courses.

    Parameters
    ----------
    course
        The number of the course; None to list those of the workspace.
    workspace
        The workspace; None for the person's own.
    head
        A head that was kept elsewhere.
    """
    from slatewright.cli.book_command import run_book, run_book_list  # noqa: PLC0415 - as above

    if course is not None:
        run_book(course, workspace, head)
    elif head is not None:
        raise typer.BadParameter("--head is a head of one book: name its COURSE, too")
    else:
        run_book_list(workspace)


def ledger(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A quote or a comparison, in TOML.")],
    *,
    json: Json = False,
    futures: Annotated[
        int, typer.Option("--futures", metavar="N", help="How many futures to simulate.")
    ] = 10_000,
    pdf: Annotated[
        Path | None,
        typer.Option("--pdf", metavar="OUT.pdf", help="Print the quote into this file."),
    ] = None,
    helium: Annotated[
        str, typer.Option("--helium", metavar="X", help="What if helium cost X times as much?")
    ] = "1",
    students: Annotated[
        int | None,
        typer.Option("--students", metavar="N", min=1, max=12, help="What if N students came?"),
    ] = None,
    house: House = None,
) -> None:
    """Price a course, or weigh open against closed circuit.

    Parameters
    ----------
    file
        The quote file, or the file of ways.
    json
        True for one JSON document on standard output.
    futures
        How many futures to simulate for a comparison.
    pdf
        Where to write the quote.
    helium
        What today's price of helium is multiplied by.
    students
        How many students come, where that is not as the quote file says.
    house
        A file of house rules, for the plans that it names.
    """
    from slatewright.cli.ledger_command import Asked, run_ledger  # noqa: PLC0415 - as above

    asked = Asked(json, futures, pdf, helium, students, house)
    run_ledger(file, asked)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the command line.

    Parameters
    ----------
    app
        The command line.
    """
    app.command(
        short_help="Build a course up, dive after dive.",
        help="Build a course up from its file: each dive with the residual gas and the oxygen of "
        "those before it, what is new on it, what speaks against it and what would cure that, when "
        "people may fly, and the gas of all of it.",
    )(course)
    app.command(
        short_help="Verify the sign-off book of a course.",
        help="Verify the sign-off book of a course in a workspace: every entry by its hash, and "
        "that a head which was kept elsewhere, such as on a printed record, is still in it. "
        "Without COURSE: list the courses.",
    )(book)
    app.command(
        short_help="Price a course, or weigh open against closed circuit.",
        help="Price a course from a quote file, line by line and by who pays; or, from a file of "
        "ways, weigh open against closed circuit for the dives that somebody wants to do.",
    )(ledger)
