"""Write the dumps of a store at the present revision, to be upgraded from in all later tests.

Run it once, when a migration is released: ``python builders/dump_released_store.py``. A dump that
is there is never written again. Needs Debian's package postgresql.
"""

from __future__ import annotations

import re
import sqlite3
import sys
import tempfile
from contextlib import closing
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from sqlalchemy.orm import Session  # noqa: E402 - same

from slatewright.course.candidates import Certificate  # noqa: E402 - same
from slatewright.course.signoff import Outcome  # noqa: E402 - same
from slatewright.course.waivers import Waiver  # noqa: E402 - same
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive  # noqa: E402 - same
from slatewright.physics.mixture import Mixture  # noqa: E402 - same
from slatewright.store import open_store  # noqa: E402 - same
from slatewright.store.certificates import add_certificate  # noqa: E402 - same
from slatewright.store.courses import (  # noqa: E402 - same
    NoteKind,
    add_course_note,
    create_course,
    save_course,
)
from slatewright.store.database import Store  # noqa: E402 - same
from slatewright.store.debriefs import add_debrief  # noqa: E402 - same
from slatewright.store.dives import add_dive  # noqa: E402 - same
from slatewright.store.logbooks import keep_logbook  # noqa: E402 - same
from slatewright.store.logins import log_in, set_password_hash  # noqa: E402 - same
from slatewright.store.migration import revisions  # noqa: E402 - same
from slatewright.store.people import Particulars, add_person  # noqa: E402 - same
from slatewright.store.plan_trash import trash_plan  # noqa: E402 - same
from slatewright.store.plans import create_plan, save_plan  # noqa: E402 - same
from slatewright.store.settings import HOUSE_RULES, save_setting  # noqa: E402 - same
from slatewright.store.sign_offs import Shown, sign_off  # noqa: E402 - same
from slatewright.store.standards import create_standard  # noqa: E402 - same
from slatewright.store.vouching import (  # noqa: E402 - same
    Reading,
    SignatureKind,
    Who,
    add_analysis,
    sign_plan,
)
from slatewright.store.waivers import add_waiver  # noqa: E402 - same
from slatewright.store.workspace import DATABASE  # noqa: E402 - same
from store.cluster import Cluster  # noqa: E402 - found after the line above

RELEASED = ROOT / "tests" / "store" / "released"
NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
# lines that bear a random key or the server's version; no text of ours begins like them
_NOISE = re.compile(r"^(?:\\(?:un)?restrict .*|-- Dumped .*)\n", re.MULTILINE)


def fill(store: Store) -> None:
    """Put a little of everything into a store; people and sites are invented."""
    text = (ROOT / "examples" / "build-up-week" / "6-the-wall.toml").read_text("utf-8")
    with store.write() as session:
        first = create_plan(session, 'title = "The gallery, 78 m"\nunits = "metric"\n', now=NOON)
        plan = create_plan(session, 'title = "a start"\n', now=NOON, earlier_plan_id=first.id)
        save_plan(session, plan.id, 1, text, now=NOON + timedelta(minutes=3))
        trashed = create_plan(session, "title = 'it''s; -- \"quoted\" \u2013 \u6df1'\n", now=NOON)
        trash_plan(session, trashed.id, 1, now=NOON)
        person = add_person(
            session,
            Particulars("Anker Windlass", "the pier", "Berit, 555-0101", date(2031, 1, 7)),
            now=NOON,
        )
        who = Who(person.name, person.id)
        dive = add_dive(session, date(2031, 6, 1), plan.id, now=NOON)
        add_analysis(session, Reading("T7", 10.2, 69.5, 231.0), who, now=NOON, dive_id=dive.id)
        add_analysis(session, Reading("S3", 49.8, None, 205.5), Who("Old Tam"), now=NOON)
        sign_plan(session, plan.id, 2, SignatureKind.CHECK, who, now=NOON)
        save_setting(session, HOUSE_RULES, 0, "floor_bar = 0.18\n", now=NOON)
        fill_course(session, person.id, plan.id)
        set_password_hash(session, "$argon2id$no-password-at-all", now=NOON)
        log_in(session, now=NOON, lasts=timedelta(days=1))


def fill_course(session: Session, person_id: int, plan_id: int) -> None:
    """Put a little of everything that came with the course."""
    who = Who("Anker Windlass", person_id)
    card = Certificate(title="a card", kinds=frozenset({"trimix"}), issued_on=date(2029, 2, 28))
    add_certificate(session, person_id, card, now=NOON)
    dive = LoggedDive(
        on_date=date(2030, 8, 3),
        began_at=time(10, 5),
        minutes=61.5,
        greatest=LoggedDepth(150, DepthUnit.FEET),
        mixes=(Mixture(0.18, 0.45), Mixture(0.5)),
        remark="it''s; \u6df1",
    )
    aside = [(7, "31.02.2030;12", ["no such day"])]
    keep_logbook(session, person_id, "log.csv", "0" * 64, [dive], aside, now=NOON)
    create_standard(session, 'title = "ours"\n', now=NOON)
    waiver = Waiver(rule="age", standard="ours", reason="known", by=who.name, on=NOON.date())
    add_waiver(session, person_id, waiver, who, now=NOON)
    course = create_course(session, 'title = "A week"\n', now=NOON)
    save_course(session, course.id, 1, 'title = "Two weeks"\n', now=NOON)
    add_course_note(session, course.id, "1", NoteKind.BRIEFED, "", who, now=NOON)
    shown = Shown(who, "valve-drill", "1", Outcome.SHOWN, "calm")
    sign_off(session, course.id, shown, Who("Old Tam"), now=NOON)
    add_debrief(session, plan_id, date(2031, 5, 3), "as planned", who, now=NOON)


def sqlite_dump() -> str:
    """Return the dump of a filled workspace."""
    with tempfile.TemporaryDirectory() as folder:
        with open_store(folder, now=NOON) as store:
            fill(store)
        with closing(sqlite3.connect(Path(folder) / DATABASE)) as connection:
            return "\n".join(connection.iterdump()) + "\n"


def server_dump() -> str:
    """Return the dump of a filled database on a server."""
    cluster = Cluster()
    try:
        cluster.start()
        with open_store(cluster.make_database("dump"), now=NOON) as store:
            fill(store)
        dump = cluster.client("pg_dump", "dump", "--inserts", "--no-owner", "--no-privileges")
    finally:
        cluster.remove()
    return _NOISE.sub("", dump)


def main() -> None:
    """Write what is not there yet."""
    _, head = revisions()
    for kind, dump in (("sqlite", sqlite_dump), ("postgresql", server_dump)):
        path = RELEASED / f"{head}.{kind}.sql"
        if path.exists():
            print(f"{path.relative_to(ROOT)} is there, and stays as it was released")
        else:
            path.write_text(dump(), "utf-8")
            print(f"wrote {path.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
