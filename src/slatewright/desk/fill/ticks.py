"""What was ticked off while filling, kept on the desk: a reload on a wet phone loses nothing.

Steps are ticked one after the other, as they are done. A tick belongs to the step itself, its gas
and its reading: it outlives an edit elsewhere in the file, and an edit that changes the step clears
it.
"""

from __future__ import annotations

import hashlib
import json
from datetime import datetime
from typing import Final

from slatewright.desk.fill.keeping import get_fill, ticks_name
from slatewright.fill.session import DoneFill
from slatewright.store.session import Session
from slatewright.store.settings import get_setting, save_setting

Ticks = dict[str, list[str]]
"""Mark of a fill to the moments at which its steps were done, in order."""
_MOST_FILLS: Final = 400


def mark_of(fill: DoneFill) -> str:
    """Return what the ticks of a fill are kept under; another recipe has another.

    Parameters
    ----------
    fill
        The fill.
    """
    blend = fill.blend
    steps = [(str(s.kind), s.source, round(s.gauge_bar, 1)) for s in blend.steps]
    told = (blend.receiver.label, steps, round(blend.settled_gauge_bar, 1))
    return hashlib.sha256(repr(told).encode()).hexdigest()[:20]


def ticks_of(session: Session, number: int) -> Ticks:
    """Return what was ticked off in a fill file.

    Parameters
    ----------
    session
        A session.
    number
        The file.
    """
    kept = get_setting(session, ticks_name(number))
    return {} if kept is None else json.loads(kept.value)


def tick(session: Session, number: int, mark: str, done: int, *, now: datetime) -> None:
    """Say how many steps of a fill are done.

    The same twice is the same once, and what is neither one more nor one less than before comes
    from a page that has not seen the last tick: it changes nothing.

    Parameters
    ----------
    session
        A session that writes.
    number
        The file.
    mark
        The fill.
    done
        How many of its steps are done.
    now
        The moment.

    Raises
    ------
    NoSuchRecord
        If there is no such file.
    """
    get_fill(session, number)
    kept = get_setting(session, ticks_name(number))
    ticks: Ticks = {} if kept is None else json.loads(kept.value)
    before = ticks.pop(mark, [])
    if done == len(before) + 1:
        ticks[mark] = [*before, now.isoformat(timespec="seconds")]
    elif done == len(before) - 1:
        ticks[mark] = before[:-1]
    else:
        return
    last = dict(list(ticks.items())[-_MOST_FILLS:])
    version = 0 if kept is None else kept.version
    save_setting(session, ticks_name(number), version, json.dumps(last), now=now)
