"""``slatewright fill``: from a fill file to steps on screen, a fill sheet, labels."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from slatewright.cli import environment, files
from slatewright.cli.analyse_command import LABELS, labels_of_session
from slatewright.cli.judging import working
from slatewright.cli.reporting import refusals, say
from slatewright.errors import NoSafeAnswer, Reason

if TYPE_CHECKING:
    from slatewright.fill.session import Session

SHEET: Final = files.Kind("--sheet", ".pdf", b"%PDF")
"""The fill sheet."""


def run_fill(
    file: Path, *, as_json: bool, sheet: Path | None, labels: Path | None, house: Path | None
) -> None:
    """Do what a fill file asks for, write what was asked for, and print it.

    Parameters
    ----------
    file
        The fill file.
    as_json
        True for the document instead of text.
    sheet, labels
        Where to write the fill sheet and the labels; None for neither.
    house
        A file of house rules, for the limits on the labels; None for the person's own, or those
        as shipped.
    """
    with refusals(str(file)):
        files.check_plan(file)
        for target, kind in ((sheet, SHEET), (labels, LABELS)):
            if target is not None:
                files.check_target(target, kind)
        environment.prefer_interpreter()
        from slatewright.fill.session import do_fill_file  # noqa: PLC0415 - start-up is budgeted

        with working("Mixing"):
            session = do_fill_file(file)
        wrote = [] if labels is None else [labels_of_session(session, file, labels, house)]
        if sheet is not None:
            wrote.append(_written(session, sheet))
        if as_json:
            from slatewright.fill.document import session_document  # noqa: PLC0415 - as above

            told = session_document(session)
            sys.stdout.write(f"{json.dumps(told, indent=2, allow_nan=False)}\n")
            for line in wrote:
                say(line)
        else:
            from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
            from slatewright.cli.fill_view import show_session  # noqa: PLC0415 - as above

            show_session(make_console(), session)
            if wrote:
                sys.stdout.write("\n".join(["", *wrote, ""]))
    if session.refused:
        _refuse(file, session)


def _written(session: Session, sheet: Path) -> str:
    from slatewright.paper.fill_sheet import fill_sheet_pdf  # noqa: PLC0415 - as above

    with working("Printing the fill sheet"):
        content = fill_sheet_pdf(session)
    files.write_whole(sheet, content, f"{SHEET.option} {sheet}")
    return f"The fill sheet is in {sheet}."


def _refuse(file: Path, session: Session) -> None:
    reasons: list[Reason] = []
    for one in session.refused:
        reasons += one.refusal.reasons
    with refusals(str(file), refused="not everything can be filled"):
        raise NoSafeAnswer(*reasons)
