"""The commands around the workspace and their options; what one needs is imported when it runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

people = typer.Typer(
    name="people",
    help="The people in a workspace: list them, export or delete all that is kept about one.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Folder = Annotated[
    str | None,
    typer.Option(
        "--workspace",
        metavar="FOLDER",
        help="The workspace, or the address of a PostgreSQL database; default: your own.",
    ),
]
Number = Annotated[int, typer.Argument(metavar="NUMBER", help="The person's number in the list.")]


def desk(
    workspace: Annotated[
        str | None,
        typer.Argument(
            metavar="FOLDER",
            help="The workspace, created on first use; or the address of a PostgreSQL database. "
            "Default: your own.",
            show_default=False,
        ),
    ] = None,
    *,
    port: Annotated[
        int, typer.Option("--port", help="The port to listen on; 0 for any.", min=0, max=65535)
    ] = 8417,
    serve_others: Annotated[
        bool,
        typer.Option("--serve-others", help="Answer other machines too; they need a password."),
    ] = False,
    address: Annotated[
        str | None,
        typer.Option(
            "--address", metavar="NAME", help="The name or address that others are to use."
        ),
    ] = None,
    new_password: Annotated[
        bool, typer.Option("--new-password", help="Ask for another password for others.")
    ] = False,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open it in the browser.")
    ] = True,
) -> None:
    """Open the desk in the browser.

    Parameters
    ----------
    workspace
        The folder, or the address of a server.
    port
        The port.
    serve_others
        True to answer other machines.
    address
        The name that others use; None to find out.
    new_password
        True to ask for another password.
    browser
        False to print the address only.
    """
    from slatewright.cli.desk_command import run_desk  # noqa: PLC0415 - start-up is budgeted

    run_desk(
        workspace,
        port=port,
        serve_others=serve_others,
        address=address,
        new_password=new_password,
        browser=browser,
    )


def restore(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The workspace.")],
    backup: Annotated[
        Path | None,
        typer.Argument(
            metavar="BACKUP",
            help="One of its backups, by name, or a file; none to list them.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Put a backup in the place of a workspace's database, or list the backups.

    Parameters
    ----------
    folder
        The workspace.
    backup
        The backup; None for the list.
    """
    from slatewright.cli.workspace_command import run_restore  # noqa: PLC0415 - as above

    run_restore(folder, backup)


def export(
    out: Annotated[Path, typer.Argument(metavar="OUT.zip", help="The archive to write.")],
    *,
    workspace: Folder = None,
) -> None:
    """Write all plans of a workspace as plan files into an archive.

    Parameters
    ----------
    out
        The archive.
    workspace
        The workspace.
    """
    from slatewright.cli.workspace_command import run_export  # noqa: PLC0415 - as above

    run_export(out, workspace)


def bring_in(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Plan files, in TOML.")],
    *,
    workspace: Folder = None,
) -> None:
    """Keep plan files in a workspace; dives that follow each other together.

    Parameters
    ----------
    files
        The files.
    workspace
        The workspace.
    """
    from slatewright.cli.workspace_command import run_import  # noqa: PLC0415 - as above

    run_import(files, workspace)


@people.command(name="list", short_help="List the people in a workspace.")
def people_list(*, workspace: Folder = None) -> None:
    """List the people in a workspace.

    Parameters
    ----------
    workspace
        The workspace.
    """
    from slatewright.cli.people_command import run_list  # noqa: PLC0415 - as above

    run_list(workspace)


@people.command(name="export", short_help="Print all that is kept about a person, as JSON.")
def people_export(number: Number, *, workspace: Folder = None) -> None:
    """Print all that is kept about a person, as JSON.

    Parameters
    ----------
    number
        The person.
    workspace
        The workspace.
    """
    from slatewright.cli.people_command import run_person_export  # noqa: PLC0415 - as above

    run_person_export(number, workspace)


@people.command(name="delete", short_help="Delete a person, from the backups too.")
def people_delete(
    number: Number,
    *,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask first.")] = False,
    workspace: Folder = None,
) -> None:
    """Delete a person from a workspace and its backups.

    Parameters
    ----------
    number
        The person.
    yes
        True to do it without asking.
    workspace
        The workspace.
    """
    from slatewright.cli.people_command import run_person_delete  # noqa: PLC0415 - as above

    run_person_delete(number, workspace, yes=yes)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the command line.

    Parameters
    ----------
    app
        The command line.
    """
    app.command(
        short_help="Open the desk in the browser.",
        help="Open the desk: plans, what is next, and the bench, as pages in the browser. It "
        "answers on this machine only, unless others are served.",
    )(desk)
    app.command(
        short_help="Restore a workspace from a backup.",
        help="Put a backup in the place of a workspace's database, which is kept, set aside. "
        "Without a backup named: list them.",
    )(restore)
    app.command(
        short_help="Write all plans of a workspace as files.",
        help="Write all plans of a workspace as plan files into one archive.",
    )(export)
    app.command(
        name="import",
        short_help="Keep plan files in a workspace.",
        help="Keep plan files in a workspace. A file whose earlier dive is among the others "
        "follows it there.",
    )(bring_in)
    app.add_typer(people, short_help="The people in a workspace.")
