"""``slatewright restore``, ``export`` and ``import``: a workspace from outside the desk."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from slatewright.cli import files
from slatewright.cli.reporting import refusals
from slatewright.cli.workspaces import opened
from slatewright.errors import InputError

_BACKUPS = "backups"


def run_restore(folder: Path, backup: Path | None) -> None:
    """Restore a workspace, or list its backups.

    Parameters
    ----------
    folder
        The workspace.
    backup
        A backup's name or path; None for the list.
    """
    from slatewright.store import restore  # noqa: PLC0415 - start-up is budgeted
    from slatewright.store.backups import list_backups  # noqa: PLC0415 - same
    from slatewright.store.clock import now_utc  # noqa: PLC0415 - same

    with refusals("restore"):
        if not folder.is_dir():
            raise InputError("is no folder", where=str(folder), right="the folder of a workspace")
        if backup is None:
            found = list_backups(folder / _BACKUPS)
            for each in found:
                here = each.at.astimezone()
                sys.stdout.write(f"{each.path.name}  made {here:%Y-%m-%d %H:%M}\n")
            if not found:
                sys.stdout.write("There is no backup in this workspace.\n")
            return
        named = folder / _BACKUPS / backup.name
        aside = restore(folder, named if named.is_file() else backup, now=now_utc())
        sys.stdout.write(f"Restored. The database that was replaced is kept in {aside}\n")


def run_export(out: Path, workspace: str | None) -> None:
    """Write all plans as files into an archive.

    Parameters
    ----------
    out
        The archive.
    workspace
        The workspace; None for the person's own.
    """
    with opened(workspace) as store:
        from slatewright.desk.exchange import zip_of_all  # noqa: PLC0415 - as above
        from slatewright.store.plans import get_plan, list_plans  # noqa: PLC0415 - as above

        if out.exists():
            raise InputError("is there already", where=str(out), right="another name")
        with store.read() as session:
            plans = [get_plan(session, entry.id) for entry in list_plans(session)]
        files.write_whole(out, zip_of_all(plans), str(out))
        count = len(plans)
        sys.stdout.write(f"{count} {'plan is' if count == 1 else 'plans are'} in {out}.\n")


def run_import(paths: Sequence[Path], workspace: str | None) -> None:
    """Keep plan files in a workspace.

    Parameters
    ----------
    paths
        The files.
    workspace
        The workspace; None for the person's own.
    """
    with opened(workspace) as store:
        from slatewright.desk.exchange import bring_in  # noqa: PLC0415 - as above
        from slatewright.store.clock import now_utc  # noqa: PLC0415 - as above

        texts: dict[str, str] = {}
        for path in paths:
            if path.name in texts:
                raise InputError("is named twice", where=path.name, right="one file of each name")
            texts[path.name] = _text(path)
        with store.write() as session:
            kept = bring_in(session, texts, now=now_utc())
        for plan in kept:
            after = f", after plan {plan.earlier_plan_id}" if plan.earlier_plan_id else ""
            sys.stdout.write(f"plan {plan.id}: {plan.title}{after}\n")


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("is not UTF-8", where=str(path), right="a plan file in UTF-8") from None
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise InputError(reason, where=str(path), right="the path of a plan file") from None
