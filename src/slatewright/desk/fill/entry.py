"""An analysis entered at the bench: into the text that is kept, if it is still what was seen."""

from __future__ import annotations

from datetime import datetime

from slatewright.desk.fill.entering import Entry, analysis_seen, with_analysis
from slatewright.desk.fill.keeping import get_fill, save_fill, with_text
from slatewright.desk.fill.work import work_of
from slatewright.errors import InputError
from slatewright.store.session import Session


def enter(
    session: Session, number: int, entry: Entry, seen: str, *, now: datetime
) -> tuple[int, int]:
    """Enter what the analyser said of a cylinder.

    Parameters
    ----------
    session
        A session that writes.
    number
        The file.
    entry
        What was typed.
    seen
        The moment of the analysis that the person has seen; empty if there was none.
    now
        The moment.

    Returns
    -------
    tuple
        The version of the file, and the place of the cylinder's fill on the page, counted from 1.

    Raises
    ------
    NoSuchRecord
        If there is no such file.
    InputError
        If something that was typed cannot be used, or another window was quicker.
    """
    kept = get_fill(session, number)
    before = work_of(kept.written).session
    if before is None:
        raise InputError("the text of the file has faults", right="mend them first")
    if analysis_seen(before.file, entry.cylinder) != seen:
        raise InputError(
            "another window has entered an analysis of this cylinder meanwhile",
            right="look at it, and enter yours again if it is to stand",
        )
    written = with_text(kept.written, with_analysis(kept.written.text, entry))
    done = work_of(written)
    if done.session is None:
        fault = done.faults[0]
        raise InputError(fault.what, where=fault.where, right=fault.right)
    saved = save_fill(session, number, kept.version, written, now=now)
    labels = [fill.blend.receiver.label for fill in done.session.fills]
    return saved.version, labels.index(entry.cylinder) + 1 if entry.cylinder in labels else 1
