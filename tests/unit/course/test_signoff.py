"""The sign-off book: what an entry holds, what is refused, where a diver stands."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from slatewright.course.signoff import (
    Entry,
    Outcome,
    Sealed,
    Signing,
    beginning,
    head,
    signed,
    verify,
)
from slatewright.course.signoff_forgetting import digests_about, forgotten
from slatewright.course.signoff_standing import shown_by_all, standing
from slatewright.errors import InputError

COURSE = "wall-week"
ANA = Sealed("Ana Invented", bytes(range(16)))
BO = Sealed("Bo Invented", bytes(range(16, 32)))
TEACHER = Sealed("Ty Invented", bytes(range(32, 48)))
WHEN = datetime(2031, 5, 1, 17, 30, tzinfo=timezone(timedelta(hours=2)))


def signing(diver=ANA, skill="valves", outcome=Outcome.SHOWN, **more):
    return Signing(
        diver=diver, skill=skill, dive="d1", outcome=outcome, by=TEACHER, at=WHEN, **more
    )


def book(*signings):
    entries = []
    for one in signings:
        entries.append(signed(entries, COURSE, one))
    return entries


def test_the_hash_is_sha256_of_json_written_by_hand():
    """The rule is RFC 8785's, from memory: keys sorted, no spaces; the text here is typed out."""
    remark = Sealed("calm, no prompt needed", b"0123456789abcdef")
    (entry,) = book(signing(remark=remark))
    diver = hashlib.sha256(bytes(range(16)) + b"Ana Invented").hexdigest()
    by = hashlib.sha256(bytes(range(32, 48)) + b"Ty Invented").hexdigest()
    said = hashlib.sha256(b"0123456789abcdefcalm, no prompt needed").hexdigest()
    first = hashlib.sha256(b'{"course":"wall-week","schema":"slatewright/sign-off/1"}').hexdigest()
    text = (
        '{"at":"2031-05-01T17:30:00+02:00","by":"' + by + '","corrects":null,'
        '"course":"wall-week","dive":"d1","diver":"' + diver + '","number":1,'
        '"outcome":"shown","previous":"' + first + '","remark":"' + said + '",'
        '"schema":"slatewright/sign-off/1","skill":"valves"}'
    )
    assert entry.hash == hashlib.sha256(text.encode()).hexdigest()


def test_no_name_and_no_remark_stands_in_an_entry():
    (entry,) = book(signing(remark=Sealed("dropped the mask", b"r" * 16)))
    assert "Invented" not in str(entry.data())
    assert "mask" not in str(entry.data())


def test_an_entry_is_read_back_as_it_was():
    for entry in book(signing(), signing(corrects=1, remark=Sealed("slip", b"r" * 16))):
        assert Entry.of(entry.data()) == entry


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"outcome": "passed"}, "passed"),
        ({"at": "yesterday"}, "yesterday"),
        ({"number": True}, "number"),
        ({"diver": None}, "diver"),
        ({"corrects": "1"}, "corrects"),
    ],
)
def test_what_is_no_entry_is_refused(change, said):
    (entry,) = book(signing())
    with pytest.raises(InputError, match=said):
        Entry.of(entry.data() | change)
    with pytest.raises(InputError, match="no entry"):
        Entry.of({"number": 1})


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Sealed(" ", b"s" * 16), "empty"),
        (lambda: Sealed("Ana", b"short"), "5 bytes"),
        (lambda: Sealed("\ud800", b"s" * 16), "half of a character"),
        (lambda: signed([], COURSE, replace(signing(), at=WHEN.replace(tzinfo=None))), "time zone"),
        (lambda: signed([], COURSE, replace(signing(), skill=" ")), "skill"),
        (lambda: signed([], COURSE, signing(corrects=1)), "not before it"),
        (lambda: signed(book(signing(), signing(corrects=1)), COURSE, signing(corrects=1)), "2"),
    ],
)
def test_what_cannot_be_signed_is_refused(make, said):
    with pytest.raises(InputError, match=said):
        make()


def test_an_empty_book_verifies_and_its_head_is_the_courses_own():
    assert verify([], COURSE) is None
    assert head([], COURSE) == beginning(COURSE) != beginning("another")


def test_the_first_broken_link_is_named():
    entries = book(signing(), signing(BO), signing(skill="mask"), signing(BO, "mask"))
    kept = head(entries, COURSE)
    assert verify(entries, COURSE, kept_head=kept) is None
    assert "another" in verify([replace(e, course="another") for e in entries], COURSE).what
    changed = [*entries[:2], replace(entries[2], outcome=Outcome.NOT_YET), entries[3]]
    found = verify(changed, COURSE)
    assert (found.number, "changed after it was signed" in found.what) == (3, True)
    assert verify([entries[0], *entries[2:]], COURSE).number == 2
    assert verify(entries[1:], COURSE).number == 1
    # who also mends the hash of the changed entry breaks the link of the one after
    mended = replace(changed[2], hash=changed[2].computed_hash())
    assert verify([*entries[:2], mended, entries[3]], COURSE).number == 4


def test_a_cut_end_is_found_only_with_the_head_that_was_kept():
    entries = book(signing(), signing(BO))
    kept = head(entries, COURSE)
    assert verify(entries[:1], COURSE) is None
    assert "missing at the end" in verify(entries[:1], COURSE, kept_head=kept).what
    longer = [*entries, signed(entries, COURSE, signing(skill="mask"))]
    assert verify(longer, COURSE, kept_head=kept) is None


def test_a_name_put_over_another_is_found():
    entries = book(signing(), signing(BO))
    texts = {s.digest: s for s in (ANA, BO, TEACHER)}
    assert verify(entries, COURSE, texts=texts) is None
    wrong = texts | {BO.digest: replace(BO, text="Cy Invented")}
    assert verify(entries, COURSE, texts=wrong).number == 2


def test_a_person_is_forgotten_and_the_chain_stands():
    remark = Sealed("cold hands", b"r" * 16)
    entries = book(signing(), signing(BO, remark=remark))
    texts = {s.digest: s for s in (ANA, BO, TEACHER, remark)}
    left = forgotten(texts, digests_about(entries, BO.digest))
    assert set(left) == {ANA.digest, TEACHER.digest}
    assert verify(entries, COURSE, kept_head=entries[-1].hash, texts=left) is None


def test_the_last_word_counts():
    entries = book(signing(outcome=Outcome.NOT_YET), signing(), signing(BO))
    ana, bo = standing(entries)
    assert (ana.diver, ana.outcome, len(ana.history)) == (ANA.digest, Outcome.SHOWN, 2)
    assert (bo.diver, bo.outcome) == (BO.digest, Outcome.SHOWN)


def test_a_correction_stands_in_the_place_of_what_it_replaces():
    entries = book(
        signing(), signing(outcome=Outcome.REPEAT), signing(outcome=Outcome.NOT_YET, corrects=1)
    )
    (ana,) = standing(entries)
    assert ana.outcome is Outcome.REPEAT
    assert ana.corrected == {1}
    (now,) = standing([*entries, signed(entries, COURSE, signing(corrects=2))])
    assert now.outcome is Outcome.SHOWN


def test_a_skill_signed_for_the_wrong_diver_is_moved_by_a_correction():
    (only,) = standing(book(signing(ANA), signing(BO, corrects=1)))
    assert only.diver == BO.digest


def test_a_schedule_builds_on_what_everybody_has_shown():
    entries = book(
        signing(), signing(BO), signing(skill="mask"), signing(BO, "mask", Outcome.REPEAT)
    )
    found = standing(entries)
    assert shown_by_all(found, [ANA.digest, BO.digest]) == {"valves"}
    assert shown_by_all(found, [ANA.digest]) == {"valves", "mask"}
    assert shown_by_all(found, []) == frozenset()


def test_the_offset_is_part_of_what_is_signed():
    (entry,) = book(signing())
    same_instant = replace(entry, at=WHEN.astimezone(UTC))
    assert verify([same_instant], COURSE).number == 1
