"""The course record, read back from its PDF."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright import cautions
from slatewright.course.record import CourseRecord
from slatewright.course.record_gaps import record_gaps
from slatewright.course.signoff import Outcome, head
from slatewright.course.signoff_forgetting import digests_about, forgotten
from slatewright.paper.course_paper import PageSize
from slatewright.paper.course_record import course_record_pdf
from unit.course.courses import COURSE, JORIN, MIRREN, TEXTS, TOVE, full_record, uneven_record
from unit.paper.papers import SIZES_MM, sizes_mm, texts


@pytest.fixture(scope="module")
def record():
    return uneven_record()


@pytest.fixture(scope="module")
def said(record):
    return " ".join(texts(course_record_pdf(record)))


def test_each_entry_of_the_book_is_printed_in_its_order(record, said):
    book = said[said.index("Sign-off book") :]
    at = 0
    for entry in record.entries:
        at = book.index(entry.hash[:8], at)
        assert f"{entry.number} {entry.at:%Y-%m-%d %H:%M} {entry.dive}" in book
    assert "corrected by 19" in book
    assert "corrects 16; Lost the stop by two metres." in book


def test_the_head_of_the_chain_is_printed_whole(record, said):
    assert head(record.entries, COURSE) in said.replace(" ", "")
    assert "The chain was verified when this was printed" in said


def test_planned_analysed_briefed_achieved_and_by_whom(record, said):
    for text in (
        "45 m, 64 min, 18/45, EAN50, simulated stops",
        "EAN50: 50.0 / 0.0 % at 08:40",
        "09:30 by Mirren Askvale",
        "44.6 m 62 min Mirren Askvale",
        "Not dived: Wind from the north-west",
    ):
        assert text in said


def test_what_is_missing_or_differs_is_printed(record, said):
    for gap in record_gaps(record):
        assert gap.what in said
    full = " ".join(texts(course_record_pdf(full_record())))
    assert "Nothing is missing and nothing differs." in full


def test_the_state_of_each_skill_is_a_word_beside_its_shape(said):
    table = said[said.index("What each diver has shown") :]
    assert "Send up a marker buoy while sharing gas shown, d3 repeat, d3" in table


def test_a_broken_chain_is_said_at_the_top_and_at_the_end(record):
    changed = replace(record.entries[3], outcome=Outcome.NOT_YET)
    entries = (*record.entries[:3], changed, *record.entries[4:])
    pages = texts(course_record_pdf(replace(record, entries=entries)))
    assert "its chain is broken at entry 4" in pages[0]
    assert "The chain is broken at entry 4" in pages[-1]
    assert "The chain was verified" not in " ".join(pages)


def test_who_was_forgotten_is_not_printed(record):
    digest = TEXTS[JORIN].digest
    texts_left = forgotten(record.texts, digests_about(record.entries, digest))
    book = " ".join(texts(course_record_pdf(replace(record, texts=texts_left))))
    book = book[book.index("Sign-off book") : book.index("instructor: place")]
    assert JORIN not in book
    assert TOVE in book
    assert digest[:8] in book.replace(" ", "")


@pytest.mark.parametrize("size", list(PageSize))
def test_each_page_bears_cautions_number_and_head(record, size):
    pdf = course_record_pdf(record, size)
    pages = texts(pdf)
    assert set(sizes_mm(pdf)) == {SIZES_MM[size]}
    for number, text in enumerate(pages, start=1):
        assert " ".join(cautions.RECORD) in text
        assert head(record.entries, COURSE)[:16] in text
        assert f"{number} / {len(pages)}" in text


def test_the_same_record_gives_the_same_bytes(record):
    assert course_record_pdf(record) == course_record_pdf(uneven_record())


def test_an_empty_record_is_printed_too():
    empty = CourseRecord(course="c", title="Nothing yet", instructors=(MIRREN,))
    (text,) = texts(course_record_pdf(empty))
    assert "The book is empty." in text
    assert "0 entries" in text
