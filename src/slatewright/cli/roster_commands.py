"""The commands around people's logbooks, and their options."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slatewright.cli.options import Json

Depths = Annotated[
    str | None,
    typer.Option("--depths", metavar="UNIT", help="The unit of depths that name none: m or ft."),
]
Dates = Annotated[
    str | None,
    typer.Option(
        "--dates", metavar="ORDER", help="The order of dates in numbers: d.m.y, m/d/y or y-m-d."
    ),
]
Durations = Annotated[
    list[str] | None,
    typer.Option(
        "--durations",
        metavar="FORM",
        help="What a duration in a bare number counts (min, s, h), or how 1:05 is read (h:mm, "
        "mm:ss); may be given twice.",
    ),
]
Columns = Annotated[
    list[str] | None,
    typer.Option(
        "--column",
        metavar="FIELD=NAME",
        help="Which column says the date, duration, depth, oxygen or helium.",
    ),
]
Both = Annotated[
    bool,
    typer.Option("--count-both", help="Count both entries where they are only likely one dive."),
]
On = Annotated[
    str | None,
    typer.Option("--on", metavar="DATE", help="The day on which is judged; default: today."),
]


def roster(  # noqa: PLR0913 - each is an option
    sources: Annotated[
        list[str],
        typer.Argument(
            metavar="FILE...|WORKSPACE", help="Candidate files, in TOML; or one workspace."
        ),
    ],
    *,
    into: Annotated[
        str | None,
        typer.Option("--into", metavar="WORKSPACE", help="Keep them in this workspace."),
    ] = None,
    depths: Depths = None,
    dates: Dates = None,
    durations: Durations = None,
    column: Columns = None,
    count_both: Both = False,
    on: On = None,
    json: Json = False,
) -> None:
    """List people with what their logbooks come to.

    Parameters
    ----------
    sources
        Candidate files, or one workspace.
    into
        Where to keep them; None for nowhere.
    depths, dates, durations, column
        What logbooks leave open.
    count_both
        True to count likely duplicates as two dives.
    on
        The day; None for today.
    json
        True for one JSON document on standard output.
    """
    from slatewright.cli.roster_command import RosterAsked, run_roster  # noqa: PLC0415 - start-up is budgeted

    said = (depths, dates, tuple(durations or ()), tuple(column or ()))
    run_roster(sources, RosterAsked(into, said, count_both, on, json))


def ready(  # noqa: PLR0913 - each is an option
    source: Annotated[
        str,
        typer.Argument(metavar="FILE|WORKSPACE", help="A candidate file, or a workspace."),
    ],
    *,
    name: Annotated[
        str | None, typer.Option("--name", metavar="NAME", help="Who, in a workspace.")
    ] = None,
    standard: Annotated[
        list[Path] | None,
        typer.Option(
            "--standard",
            metavar="FILE",
            help="A standard to be held against; may be given more than once. Default: those of "
            "the workspace, or the two examples that come with the program.",
        ),
    ] = None,
    instructor: Annotated[
        list[str] | None,
        typer.Option("--instructor", metavar="NAME", help="How logs name who teaches the course."),
    ] = None,
    team: Annotated[
        list[str] | None,
        typer.Option("--team", metavar="NAME", help="How logs name who takes the course too."),
    ] = None,
    on: On = None,
    depths: Depths = None,
    dates: Dates = None,
    durations: Durations = None,
    column: Columns = None,
    count_both: Both = False,
    pdf: Annotated[
        Path | None,
        typer.Option("--pdf", metavar="OUT.pdf", help="Print a letter about it into this file."),
    ] = None,
    sender: Annotated[
        str, typer.Option("--from", metavar="NAME", help="Who signs the letter.")
    ] = "",
    json: Json = False,
) -> None:
    """Hold a candidate against standards.

    Parameters
    ----------
    source
        A candidate file, or a workspace.
    name
        Who, in a workspace.
    standard
        Files of standards.
    instructor, team
        How logs name who teaches the course, and who takes it too.
    on
        The day; None for today.
    depths, dates, durations, column
        What logbooks leave open.
    count_both
        True to count likely duplicates as two dives.
    pdf, sender
        Where to write the letter, and who signs it.
    json
        True for one JSON document on standard output.
    """
    from slatewright.cli.ready_command import Letter, ReadyAsked, run_ready  # noqa: PLC0415 - as above

    said = (depths, dates, tuple(durations or ()), tuple(column or ()))
    people = (tuple(instructor or ()), tuple(team or ()))
    letter = None if pdf is None else Letter(pdf, sender)
    asked = ReadyAsked(name, tuple(standard or ()), people, said, count_both, on, json, letter)
    run_ready(source, asked)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the command line.

    Parameters
    ----------
    app
        The command line.
    """
    app.command(
        short_help="List people with what their logbooks come to.",
        help="Read candidate files with their logbooks, or a workspace, and list the people: age, "
        "clearance, cards, dives; what could not be read, and what stands twice.",
    )(roster)
    app.command(
        short_help="Hold a candidate against standards.",
        help="Hold a candidate against standards, rule by rule: what counts, what is needed, near "
        "misses, and when it would be met at the pace of the last year.",
    )(ready)
