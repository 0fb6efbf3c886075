"""Cards, logbooks, standards, waivers, courses, the sign-off book, debriefs: on both databases."""

from __future__ import annotations

import time as clock
from datetime import date, time, timedelta

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from slatewright.course.candidates import Certificate
from slatewright.course.signoff import Outcome, verify
from slatewright.course.waivers import Waiver
from slatewright.errors import InputError
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.physics.mixture import Mixture
from slatewright.store.certificates import add_certificate, list_certificates, remove_certificate
from slatewright.store.courses import (
    CourseStatus,
    NoteKind,
    add_course_note,
    course_texts,
    create_course,
    get_course,
    list_course_notes,
    save_course,
)
from slatewright.store.debriefs import add_debrief, plan_debriefs, recent_debriefs
from slatewright.store.faults import NoSuchRecord, StaleRecord
from slatewright.store.forgetting import SOMEBODY, export_person, forget_person
from slatewright.store.logbooks import (
    add_logged_dive,
    candidate_of,
    keep_logbook,
    list_logbooks,
    list_logged_dives,
    list_set_aside,
    remove_logbook,
    remove_logged_dive,
    replace_logged_dive,
    settle_row,
)
from slatewright.store.people import Particulars, add_person, get_person, save_person
from slatewright.store.plans import create_plan
from slatewright.store.sign_offs import Shown, book_of, sign_off
from slatewright.store.standards import (
    create_standard,
    get_standard,
    list_standards,
    remove_standard,
    save_standard,
)
from slatewright.store.vouching import Who
from slatewright.store.waivers import add_waiver, list_waivers, withdraw_waiver

from .conftest import NOON

LEAP = date(2012, 2, 29)
FULL = LoggedDive(
    on_date=date(2030, 8, 3),
    began_at=time(23, 50),
    minutes=61.5,
    greatest=LoggedDepth(101, DepthUnit.FEET),
    mixes=(Mixture(0.18, 0.45), Mixture(1.0)),
    circuit=Circuit.CLOSED,
    role=Role.STUDENT,
    decompression=True,
    partners=("Tove", "Casper"),
    equipment=("twinset", "drysuit"),
    number="17b",
    place="the Stair",
    remark='cold; "dark"\n\u6df1',
    origin=Origin("log.csv", 12),
)
BARE = LoggedDive(on_date=date(2030, 8, 4), minutes=30, greatest=LoggedDepth(18.3))


@pytest.fixture
def person(store):
    with store.write() as session:
        return add_person(session, Particulars("Tove Sandreed", born_on=LEAP), now=NOON)


@pytest.fixture
def guide(store):
    with store.write() as session:
        return add_person(session, Particulars("Mirren Quillfeather"), now=NOON)


@pytest.fixture
def course(store):
    with store.write() as session:
        return create_course(session, 'title = "A week"\n', now=NOON)


def test_a_birthday_is_kept_and_changed(store, person):
    with store.write() as session:
        assert get_person(session, person.id).born_on == LEAP
        save_person(session, person.id, 1, Particulars("Tove Sandreed"), now=NOON)
    with store.read() as session:
        assert get_person(session, person.id).born_on is None


def test_cards_come_back(store, person):
    later = Certificate(title="second", kinds=frozenset({"Trimix", "decompression"}), number="n 2")
    first = Certificate(title="first", level="one", issued_on=date(2028, 1, 1))
    with store.write() as session:
        kept = add_certificate(session, person.id, later, now=NOON)
        add_certificate(session, person.id, first, now=NOON)
    with store.read() as session:
        assert {one.certificate for one in list_certificates(session, person.id)} == {later, first}
    with store.write() as session:
        remove_certificate(session, kept.id)
        assert [one.certificate for one in list_certificates(session, person.id)] == [first]
        with pytest.raises(NoSuchRecord):
            remove_certificate(session, kept.id)


def test_a_logbook_comes_back_to_the_letter(store, person):
    aside = [(9, "31.02.2030;x", ["no such day", "x is no depth"])]
    with store.write() as session:
        book = keep_logbook(session, person.id, "log.csv", "ab" * 32, [FULL, BARE], aside, now=NOON)
    assert (book.dives, book.set_aside) == (2, 1)
    with store.read() as session:
        assert [kept.dive for kept in list_logged_dives(session, person.id)] == [BARE, FULL]
        (row,) = list_set_aside(session, person.id)
        assert (row.line, row.reasons) == (9, ("no such day", "x is no depth"))
        assert list_logbooks(session, person.id) == (book,)
        candidate = candidate_of(session, person.id)
    assert (candidate.name, candidate.born_on) == ("Tove Sandreed", LEAP)
    assert set(candidate.dives) == {FULL, BARE}


def test_a_row_that_was_set_aside_is_decided(store, person):
    with store.write() as session:
        keep_logbook(
            session, person.id, "a.csv", "0", [], [(2, "x", ["?"]), (3, "y", ["?"])], now=NOON
        )
        one, other = list_set_aside(session, person.id)
        settle_row(session, one.id, BARE)
        settle_row(session, other.id, None)
        assert not list_set_aside(session, person.id)
        (kept,) = list_logged_dives(session, person.id)
        assert (kept.dive, kept.logbook_id) == (BARE, one.logbook_id)
        with pytest.raises(NoSuchRecord):
            settle_row(session, one.id, BARE)


def test_dives_by_hand_are_changed_and_removed(store, person):
    with store.write() as session:
        kept = add_logged_dive(session, person.id, BARE)
        replace_logged_dive(session, kept.id, FULL)
        assert [one.dive for one in list_logged_dives(session, person.id)] == [FULL]
        remove_logged_dive(session, kept.id)
        assert not list_logged_dives(session, person.id)


def test_a_logbook_goes_with_its_dives(store, person):
    with store.write() as session:
        book = keep_logbook(session, person.id, "a", "0", [FULL], [(1, "x", ["?"])], now=NOON)
        add_logged_dive(session, person.id, BARE)
        remove_logbook(session, book.id)
        assert [one.dive for one in list_logged_dives(session, person.id)] == [BARE]
        assert not list_set_aside(session, person.id)


def test_five_thousand_dives_are_kept(store, person):
    """No figure is asked for here; that it takes no minute is all that this holds."""
    start = clock.monotonic()
    with store.write() as session:
        keep_logbook(session, person.id, "long.csv", "0", [FULL] * 5000, [], now=NOON)
    with store.read() as session:
        assert len(candidate_of(session, person.id).dives) == 5000
    assert clock.monotonic() - start < 60


def test_standards_are_texts_of_which_two_windows_are_told(store):
    with store.write() as session:
        made = create_standard(session, 'title = "ours"\n', now=NOON)
        assert made.title == "ours"
        saved = save_standard(session, made.id, 1, 'title = "stricter"\n', now=NOON)
        assert (saved.title, saved.version) == ("stricter", 2)
        with pytest.raises(StaleRecord):
            save_standard(session, made.id, 1, "title = 'x'", now=NOON)
        assert list_standards(session) == (get_standard(session, made.id),)
        remove_standard(session, made.id, 2)
        assert list_standards(session) == ()


def test_a_waiver_is_withdrawn_and_stays(store, person, guide):
    who = Who(guide.name, guide.id)
    waiver = Waiver(rule="deep", standard="ours", reason="I know her", by=who.name, on=LEAP)
    with store.write() as session:
        kept = add_waiver(session, person.id, waiver, who, now=NOON)
        assert kept.waiver == waiver
        withdraw_waiver(session, kept.id, now=NOON + timedelta(hours=1))
        withdraw_waiver(session, kept.id, now=NOON + timedelta(hours=2))
        (found,) = list_waivers(session, person.id)
        assert found.withdrawn_at == NOON + timedelta(hours=1)


def test_a_course_keeps_its_texts(store, course):
    with store.write() as session:
        second = save_course(session, course.id, 1, 'title = "Two weeks"\n', now=NOON)
        third = save_course(
            session, course.id, 2, second.text, now=NOON, status=CourseStatus.RUNNING
        )
        assert (third.version, third.status) == (3, CourseStatus.RUNNING)
        with pytest.raises(StaleRecord):
            save_course(session, course.id, 1, "x", now=NOON)
        assert course_texts(session, course.id) == ((2, second.text), (1, course.text))
        assert get_course(session, course.id).title == "Two weeks"


def test_notes_are_added(store, course, guide):
    with store.write() as session:
        who = Who(guide.name, guide.id)
        add_course_note(session, course.id, "2", NoteKind.ACHIEVED, "58 m, 24 min", who, now=NOON)
        (note,) = list_course_notes(session, course.id)
    assert (note.kind, note.text, note.by_name) == (NoteKind.ACHIEVED, "58 m, 24 min", who.name)


def signed(store, course, person, guide):
    diver, by = Who(person.name, person.id), Who(guide.name, guide.id)
    with store.write() as session:
        sign_off(
            session,
            course.id,
            Shown(diver, "valves", "1", Outcome.NOT_YET, "hurried"),
            by,
            now=NOON,
        )
        shown = Shown(diver, "valves", "1", Outcome.SHOWN, corrects=1)
        return sign_off(session, course.id, shown, by, now=NOON + timedelta(minutes=1))


def test_the_book_is_a_chain(store, course, person, guide):
    last = signed(store, course, person, guide)
    with store.read() as session:
        book = book_of(session, course.id)
    assert [entry.number for entry in book.entries] == [1, 2]
    assert book.entries[-1] == last
    assert verify(book.entries, book.course, kept_head=last.hash, texts=book.texts) is None
    assert {sealed.text for sealed in book.texts.values()} == {person.name, guide.name, "hurried"}
    assert len({entry.diver for entry in book.entries}) == 1  # one salt for a person in a course
    assert book.people[last.diver] == person.id


@pytest.mark.parametrize("what", ["UPDATE sign_off SET text = text", "DELETE FROM sign_off"])
def test_the_database_itself_changes_nothing_that_was_signed(store, course, person, guide, what):
    signed(store, course, person, guide)
    with pytest.raises(DBAPIError, match="never changed"), store.write() as session:
        session.execute(text(what))
    with store.read() as session:
        assert len(book_of(session, course.id).entries) == 2


def test_a_name_that_is_not_in_the_roster_is_refused(store, course, person, guide):
    shown = Shown(Who("Somebody Else", person.id), "valves", "1", Outcome.SHOWN)
    with pytest.raises(InputError, match="is not the name"), store.write() as session:
        sign_off(session, course.id, shown, Who(guide.name, guide.id), now=NOON)
    with store.read() as session:
        assert book_of(session, course.id).entries == ()


def test_a_forgotten_person_leaves_a_chain_that_holds(store, course, person, guide):
    last = signed(store, course, person, guide)
    with store.write() as session:
        keep_logbook(session, person.id, "a", "0", [FULL], [], now=NOON)
        add_certificate(session, person.id, Certificate(title="a card"), now=NOON)
        told = export_person(session, person.id)
        save_course(session, course.id, 1, 'title = "A week for Tove Sandreed"\n', now=NOON)
    assert len(told["sign_offs"]) == 2
    assert told["sign_offs"][0]["remark_text"] == "hurried"
    assert told["logged_dives"][0]["place"] == "the Stair"
    assert told["certificates"][0]["title"] == "a card"
    done = forget_person(store, person.id, person.version)
    assert done.named.courses == (course.id,)
    with store.read() as session:
        book = book_of(session, course.id)
        assert not list_logged_dives(session, person.id)
        assert not list_certificates(session, person.id)
    assert verify(book.entries, book.course, kept_head=last.hash, texts=book.texts) is None
    assert {sealed.text for sealed in book.texts.values()} == {guide.name}


def test_who_signed_is_forgotten_too(store, course, person, guide):
    signed(store, course, person, guide)
    with store.write() as session:
        plan = create_plan(session, 'title = "The wall"\n', now=NOON)
        who = Who(guide.name, guide.id)
        add_debrief(session, plan.id, LEAP, "as planned", who, now=NOON)
        waiver = Waiver(rule="deep", standard="s", reason="r", by=who.name, on=LEAP)
        add_waiver(session, person.id, waiver, who, now=NOON)
    assert forget_person(store, guide.id, guide.version).records == 2
    with store.read() as session:
        book = book_of(session, course.id)
        assert {sealed.text for sealed in book.texts.values()} == {person.name}
        assert recent_debriefs(session, most=3)[0].by_name == SOMEBODY
        assert list_waivers(session, person.id)[0].waiver.by == SOMEBODY


def test_debriefs_are_told_the_last_dive_first(store):
    with store.write() as session:
        plan = create_plan(session, 'title = "The wall"\n', now=NOON)
        for day in (3, 1, 2):
            add_debrief(session, plan.id, date(2031, 5, day), f"day {day}", Who("Tam"), now=NOON)
        assert [one.text for one in recent_debriefs(session, most=2)] == ["day 3", "day 2"]
        assert [one.text for one in plan_debriefs(session, plan.id)] == ["day 3", "day 1", "day 2"]
        assert recent_debriefs(session, most=1)[0].plan_title == "The wall"
        with pytest.raises(InputError, match="is empty"):
            add_debrief(session, plan.id, LEAP, "  ", Who("Tam"), now=NOON)
