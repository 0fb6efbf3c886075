"""The commands and their options; what a command needs is imported when it runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slatewright.cli import desk_commands, environment, roster_commands

app = typer.Typer(
    name="slatewright",
    help="Plan hypoxic-trimix dives: schedule, oxygen, hazards, slate. A planning aid for trained "
    "divers, not training and no substitute for it.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)

Plan = Annotated[Path, typer.Argument(metavar="FILE", help="The plan file, in TOML.")]
House = Annotated[
    Path | None,
    typer.Option("--house", metavar="FILE", help="House rules; default: your own, or as shipped."),
]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]


def main() -> None:
    """Run the command line."""
    environment.own_process()
    app()


def _version(wanted: bool) -> None:  # noqa: FBT001 - the shape that typer calls
    if wanted:
        from slatewright import __version__  # noqa: PLC0415 - kept beside its one use

        typer.echo(f"slatewright {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    *,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    del version  # its callback has done what there is to do


@app.command(
    short_help="Compute a dive from its plan file.",
    help="Compute a dive from its plan file: schedule, oxygen, gas, way home, hazards, second "
    "check.",
)
def dive(
    plan: Plan,
    *,
    json: Json = False,
    slate: Annotated[
        Path | None,
        typer.Option("--slate", metavar="OUT.pdf", help="Print a wrist slate into this file."),
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option("--chart", metavar="OUT.svg", help="Draw the profile into this file."),
    ] = None,
    house: House = None,
    word: Annotated[
        str | None,
        typer.Option(
            "--on-my-word",
            metavar="NAME",
            help="Print the slate of a dive without a way home; it says on whose word.",
        ),
    ] = None,
) -> None:
    """Compute a dive from its plan file.

    Parameters
    ----------
    plan
        The plan file.
    json
        True for one JSON document on standard output.
    slate, chart
        Where to write the PDF and the SVG.
    house
        A file of house rules.
    word
        Who answers for a slate without a way home.
    """
    from slatewright.cli.dive_command import run_dive  # noqa: PLC0415 - start-up is budgeted

    run_dive(plan, as_json=json, slate=slate, chart=chart, house=house, word=word)


@app.command(
    short_help="Look for the way home from every minute.",
    help="Look for the way home from every minute of a dive, whatever fails: who gets home, on "
    "what, and what would cure it.",
)
def wayhome(
    plan: Plan,
    *,
    json: Json = False,
    chart: Annotated[
        Path | None,
        typer.Option("--chart", metavar="OUT.svg", help="Draw it into this file."),
    ] = None,
    house: House = None,
) -> None:
    """Look for the way home from every minute of a dive.

    Parameters
    ----------
    plan
        The plan file.
    json
        True for one JSON document on standard output.
    chart
        Where to write the SVG.
    house
        A file of house rules.
    """
    from slatewright.cli.wayhome_command import run_wayhome  # noqa: PLC0415 - as above

    run_wayhome(plan, as_json=json, chart=chart, house=house)


@app.command(
    short_help="Put each cylinder in the place of each other.",
    help="Put each cylinder in the place of each other: what comes of it, and who would notice.",
)
def mixups(plan: Plan, *, json: Json = False, house: House = None) -> None:
    """Put each cylinder of a dive in the place of each other.

    Parameters
    ----------
    plan
        The plan file.
    json
        True for one JSON document on standard output.
    house
        A file of house rules.
    """
    from slatewright.cli.mixups_command import run_mixups  # noqa: PLC0415 - as above

    run_mixups(plan, as_json=json, house=house)


FillFile = Annotated[Path, typer.Argument(metavar="FILE", help="The fill file, in TOML.")]
Labels = Annotated[
    Path | None,
    typer.Option("--labels", metavar="OUT.pdf", help="Print labels of what was analysed."),
]


@app.command(
    short_help="Blend and fill cylinders from a fill file.",
    help="Blend and fill cylinders from a fill file: what to read on the gauge after each step, "
    "how certain the mix is, what it costs, what the banks then hold; and the order of helium and "
    "oxygen for a course.",
)
def fill(
    file: FillFile,
    *,
    json: Json = False,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="OUT.pdf", help="Print a fill sheet into this file."),
    ] = None,
    labels: Labels = None,
    house: House = None,
) -> None:
    """Do what a fill file asks for.

    Parameters
    ----------
    file
        The fill file.
    json
        True for one JSON document on standard output.
    sheet, labels
        Where to write the fill sheet and the labels.
    house
        A file of house rules, for the limits on the labels.
    """
    from slatewright.cli.fill_command import run_fill  # noqa: PLC0415 - as above

    run_fill(file, as_json=json, sheet=sheet, labels=labels, house=house)


@app.command(
    short_help="Judge what the analyser said.",
    help="Judge what the analyser said of the cylinders of a fill file: which may be used, how the "
    "others are put right, and what the plan becomes with the gas that is really in them.",
)
def analyse(
    file: FillFile,
    *,
    json: Json = False,
    labels: Labels = None,
    plan: Annotated[
        Path | None,
        typer.Option("--plan", metavar="PLAN", help="The plan; default: as the fill file says."),
    ] = None,
    house: House = None,
) -> None:
    """Judge the analyses of a fill file.

    Parameters
    ----------
    file
        The fill file.
    json
        True for one JSON document on standard output.
    labels
        Where to write the labels.
    plan
        The plan file.
    house
        A file of house rules.
    """
    from slatewright.cli.analyse_command import run_analyse  # noqa: PLC0415 - as above

    run_analyse(file, as_json=json, labels=labels, plan=plan, house=house)


@app.command(
    short_help="Build a course up, dive after dive.",
    help="Build a course up from its file: each dive with the residual gas and the oxygen of those "
    "before it, what is new on it, what speaks against it and what would cure that, when people "
    "may fly, and the gas of all of it.",
)
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
    from slatewright.cli.course_command import run_course  # noqa: PLC0415 - as above

    run_course(
        file, as_json=json, propose=propose, calendar=calendar, tables=tables, house=house,
        prices=prices,
    )  # fmt: skip


@app.command(
    short_help="Verify the sign-off book of a course.",
    help="Verify the sign-off book of a course in a workspace: every entry by its hash, and that "
    "a head which was kept elsewhere, such as on a printed record, is still in it.",
)
def book(
    course: Annotated[int, typer.Argument(metavar="COURSE", help="The number of the course.")],
    *,
    workspace: Annotated[
        str | None, typer.Option("--workspace", metavar="FOLDER", help="The workspace.")
    ] = None,
    head: Annotated[
        str | None, typer.Option("--head", metavar="HASH", help="A head that was kept elsewhere.")
    ] = None,
) -> None:
    """Verify the sign-off book of a course.

    Parameters
    ----------
    course
        The number of the course.
    workspace
        The workspace; None for the person's own.
    head
        A head that was kept elsewhere.
    """
    from slatewright.cli.book_command import run_book  # noqa: PLC0415 - as above

    run_book(course, workspace, head)


@app.command(
    short_help="Price a course, or weigh open against closed circuit.",
    help="Price a course from a quote file, line by line and by who pays; or, from a file of ways, "
    "weigh open against closed circuit for the dives that somebody wants to do.",
)
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


@app.command(
    short_help="Explain the formulas, and work them out.",
    help="List the formulas, explain one with its source, or work one out step by step.",
)
def explain(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="The formula; none for the list.")
    ] = None,
    values: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="SYMBOL=VALUE",
            help="Numbers to work it out with, such as mix=10/70 depth=300ft.",
        ),
    ] = None,
    *,
    json: Json = False,
    house: House = None,
) -> None:
    """List the formulas, explain one, or work one out.

    Parameters
    ----------
    name
        The formula.
    values
        Numbers for it, each ``symbol=value``.
    json
        True for one JSON document on standard output.
    house
        A file of house rules.
    """
    from slatewright.cli.explain_command import run_explain  # noqa: PLC0415 - as above

    run_explain(name, values or [], as_json=json, house=house)


@app.command(
    name="house",
    short_help="Show the house rules.",
    help="Show the house rules: where the trade disagrees, and what you have chosen.",
)
def house_rules(
    *,
    json: Json = False,
    write: Annotated[
        Path | None,
        typer.Option("--write", metavar="FILE", help="Write a file to begin your own rules with."),
    ] = None,
    house: House = None,
) -> None:
    """Show the house rules, or write a file to begin one's own with.

    Parameters
    ----------
    json
        True for one JSON document on standard output.
    write
        Where to write the rules as shipped.
    house
        A file of house rules.
    """
    from slatewright.cli.house_command import run_house  # noqa: PLC0415 - as above

    run_house(as_json=json, write=write, house=house)


roster_commands.add_to(app)
desk_commands.add_to(app)
