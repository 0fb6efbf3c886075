"""Dives to come, what people vouch for, and what is missing."""

from __future__ import annotations

import hashlib
from datetime import date, timedelta

import pytest

from slatewright.errors import InputError
from slatewright.store.dives import add_dive, get_dive, list_dives, remove_dive, save_dive
from slatewright.store.faults import NoSuchRecord, StaleRecord
from slatewright.store.plan_trash import trash_plan
from slatewright.store.plans import create_plan, save_plan
from slatewright.store.upcoming import Missing, upcoming_dives
from slatewright.store.vouching import (
    Reading,
    SignatureKind,
    Who,
    add_analysis,
    cylinder_analyses,
    dive_analyses,
    plan_signatures,
    sign_plan,
)

from .conftest import NOON

TODAY = NOON.date()
LATER = NOON + timedelta(hours=1)
ANKER = Who("Anker Windlass")
TEXT = "title = 'The wall'"


@pytest.fixture
def plan(store):
    with store.write() as session:
        return create_plan(session, TEXT, now=NOON)


@pytest.fixture
def dive(store, plan):
    with store.write() as session:
        return add_dive(session, TODAY, plan.id, now=NOON)


def test_dives_are_listed_from_a_day_on(store, plan):
    days = [TODAY + timedelta(days=d) for d in (3, -1, 0)]
    with store.write() as session:
        for day in days:
            add_dive(session, day, plan.id, now=NOON)
    with store.read() as session:
        assert [d.on_date for d in list_dives(session, from_date=TODAY)] == [days[2], days[0]]


def test_a_dive_is_moved_and_the_later_save_told(store, plan, dive):
    day = date(2032, 2, 29)
    with store.write() as session:
        moved = save_dive(session, dive.id, 1, day, plan.id, now=LATER)
        assert (moved.on_date, moved.version, moved.changed_at) == (day, 2, LATER)
        with pytest.raises(StaleRecord) as told:
            save_dive(session, dive.id, 1, TODAY, plan.id, now=LATER)
        assert told.value.theirs == moved
        with pytest.raises(StaleRecord):
            remove_dive(session, dive.id, 1)
        assert save_dive(session, dive.id, 2, day, plan.id, now=NOON) == moved


def test_a_dive_needs_a_plan_that_is_there(store, plan):
    with store.write() as session:
        with pytest.raises(NoSuchRecord):
            add_dive(session, TODAY, plan.id + 1, now=NOON)
        trash_plan(session, plan.id, 1, now=NOON)
        with pytest.raises(InputError, match="in the trash"):
            add_dive(session, TODAY, plan.id, now=NOON)


def test_what_was_analysed_outlives_the_dive(store, dive):
    with store.write() as session:
        made = add_analysis(
            session, Reading(" T7 ", 18.1, None, 231.0), ANKER, now=NOON, dive_id=dive.id
        )
        assert dive_analyses(session, dive.id) == (made,)
        assert made.he_pct is None
        remove_dive(session, dive.id, 1)
        with pytest.raises(NoSuchRecord):
            get_dive(session, dive.id)
        (kept,) = cylinder_analyses(session, "T7")
    assert (kept.id, kept.dive_id, kept.o2_pct) == (made.id, None, 18.1)


@pytest.mark.parametrize(
    "reading", [Reading("1", 100.0, 0.0, 0.0), Reading("1", 20.9, 79.1, 500.0)]
)
def test_readings_at_the_border_are_kept_as_they_are(store, reading):
    with store.write() as session:
        kept = add_analysis(session, reading, ANKER, now=NOON)
        session.expire_all()
        assert cylinder_analyses(session, "1") == (kept,)
    assert (kept.o2_pct, kept.he_pct, kept.gauge_bar) == (
        reading.o2_pct,
        reading.he_pct,
        reading.gauge_bar,
    )


@pytest.mark.parametrize(
    ("reading", "message"),
    [
        (Reading("1", -0.1, 0, 200), "o2_pct: -0.1 cannot be"),
        (Reading("1", 100.1, 0, 200), "o2_pct"),
        (Reading("1", float("nan"), 0, 200), "o2_pct: nan"),
        (Reading("1", 20, float("inf"), 200), "he_pct: inf"),
        (Reading("1", 30, 71, 200), "more than all"),
        (Reading("1", 30, 60, 3000), "gauge_bar: 3000"),
        (Reading(" ", 30, 60, 200), "cylinder: is empty"),
    ],
)
def test_readings_that_cannot_be_are_refused(store, reading, message):
    with pytest.raises(InputError, match=message), store.write() as session:
        add_analysis(session, reading, ANKER, now=NOON)


def test_a_dive_or_person_that_is_not_there_is_refused(store, plan):
    good = Reading("1", 21, 35, 200)
    with store.write() as session:
        with pytest.raises(NoSuchRecord, match="no dive"):
            add_analysis(session, good, ANKER, now=NOON, dive_id=2**31)
        with pytest.raises(NoSuchRecord, match="no person"):
            add_analysis(session, good, Who("X", 2**31), now=NOON)
        with pytest.raises(NoSuchRecord, match="no person"):
            sign_plan(session, plan.id, 1, SignatureKind.CHECK, Who("X", 2**31), now=NOON)
        with pytest.raises(InputError, match="who: is empty"):
            sign_plan(session, plan.id, 1, SignatureKind.CHECK, Who(""), now=NOON)


def test_a_signature_is_under_one_text(store, plan):
    with store.write() as session:
        signed = sign_plan(session, plan.id, 1, SignatureKind.CHECK, ANKER, now=NOON)
        assert signed.text_sha256 == hashlib.sha256(TEXT.encode()).hexdigest()
        assert signed.current
        save_plan(session, plan.id, 1, "title = 'deeper'", now=LATER)
        assert [s.current for s in plan_signatures(session, plan.id)] == [False]
        with pytest.raises(StaleRecord):  # nobody signs what they have not seen
            sign_plan(session, plan.id, 1, SignatureKind.CHECK, ANKER, now=LATER)
        save_plan(session, plan.id, 2, TEXT, now=LATER)  # undone: the very text that was signed
        assert [s.current for s in plan_signatures(session, plan.id)] == [True]


def test_what_is_missing_for_a_dive(store, plan, dive):
    def missing(session):
        (found,) = upcoming_dives(session, from_date=TODAY)
        assert (found.dive.id, found.plan.title) == (dive.id, "The wall")
        return found, found.missing

    with store.write() as session:
        assert missing(session)[1] == (Missing.ANALYSIS, Missing.CHECK, Missing.SIGN_OFF)
        add_analysis(session, Reading("1", 21, 35, 200), ANKER, now=NOON)  # for no dive
        assert Missing.ANALYSIS in missing(session)[1]
        add_analysis(session, Reading("1", 21, 35, 200), ANKER, now=NOON, dive_id=dive.id)
        sign_plan(session, plan.id, 1, SignatureKind.CHECK, ANKER, now=NOON)
        assert missing(session)[1] == (Missing.SIGN_OFF,)
        sign_plan(session, plan.id, 1, SignatureKind.SIGN_OFF, ANKER, now=NOON)
        assert missing(session)[1] == ()
        save_plan(session, plan.id, 1, "title = 'The wall'  # deeper", now=LATER)
        found, lacks = missing(session)
        assert lacks == (Missing.CHECK, Missing.SIGN_OFF)
        assert {s.kind for s in found.outdated} == set(SignatureKind)
        assert upcoming_dives(session, from_date=TODAY + timedelta(days=1)) == ()
