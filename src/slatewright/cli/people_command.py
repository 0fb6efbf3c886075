"""``slatewright people``: what is kept about a person, handed over or deleted."""

from __future__ import annotations

import json
import sys

from slatewright.cli.reporting import say
from slatewright.cli.workspaces import opened


def run_list(workspace: str | None) -> None:
    """Print the people and their numbers.

    Parameters
    ----------
    workspace
        The workspace; None for the person's own.
    """
    with opened(workspace) as store:
        from slatewright.store.people import list_people  # noqa: PLC0415 - start-up is budgeted

        with store.read() as session:
            everybody = list_people(session)
        for person in everybody:
            sys.stdout.write(f"{person.id:>4}  {person.name}\n")
        if not everybody:
            sys.stdout.write("Nobody is in this workspace.\n")


def run_person_export(number: int, workspace: str | None) -> None:
    """Print all that is kept about a person, as JSON.

    Parameters
    ----------
    number
        The person.
    workspace
        The workspace; None for the person's own.
    """
    with opened(workspace) as store:
        from slatewright.store.forgetting import export_person  # noqa: PLC0415 - as above

        with store.read() as session:
            told = export_person(session, number)
        sys.stdout.write(json.dumps(told, indent=2, ensure_ascii=False) + "\n")


def run_person_delete(number: int, workspace: str | None, *, yes: bool) -> None:
    """Delete a person from a workspace and its backups.

    Parameters
    ----------
    number
        The person.
    workspace
        The workspace; None for the person's own.
    yes
        True to do it without asking.
    """
    with opened(workspace) as store:
        import typer  # noqa: PLC0415 - as above

        from slatewright.desk.left_texts import other_texts  # noqa: PLC0415 - as above
        from slatewright.store.forgetting import forget_person  # noqa: PLC0415 - as above
        from slatewright.store.people import get_person  # noqa: PLC0415 - as above

        with store.read() as session:
            person = get_person(session, number)
        if not yes and not typer.confirm(
            f"Delete {person.name} for good, from the backups too?", err=True
        ):
            say("Nothing was deleted.")
            return
        done = forget_person(store, number, person.version)
        sys.stdout.write(
            f"Deleted. The name was replaced in {done.records} records and deleted from "
            f"{done.backups} backups.\n"
        )
        if done.named.plans:
            numbers = ", ".join(map(str, done.named.plans))
            say(f"The name stands in the text of these plans, which are yours to change: {numbers}")
        if done.named.courses:
            numbers = ", ".join(map(str, done.named.courses))
            say(f"The name stands in the text of these courses, yours to change too: {numbers}")
        with store.read() as session:
            others = other_texts(session, done.named)
        for text in others:
            say(f"The name stands in {text}, yours to change too.")
        for path in done.elsewhere:
            say(f"Not changed, and yours to delete if you no longer need it: {path}")
