"""The commands and their options; what a command needs is imported when it runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slatewright.cli import course_commands, desk_commands, environment, roster_commands
from slatewright.cli.options import House, Json

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


course_commands.add_to(app)
roster_commands.add_to(app)
desk_commands.add_to(app)
