"""The course agreement, read back from its PDF."""

from __future__ import annotations

import pytest

from slatewright import cautions
from slatewright.course.agreement import OwnWords, clauses
from slatewright.paper.agreement import agreement_pdf
from slatewright.paper.course_paper import PageSize
from unit.course.courses import MIRREN, TOVE, agreement
from unit.paper.papers import SIZES_MM, sizes_mm, texts


@pytest.mark.parametrize("size", list(PageSize))
def test_each_clause_stands_on_paper_of_either_size(size):
    pdf = agreement_pdf(agreement(), size)
    assert set(sizes_mm(pdf)) == {SIZES_MM[size]}
    said = " ".join(texts(pdf))
    for clause in clauses(agreement()):
        assert clause.heading in said
        for text in (*clause.paragraphs, *clause.items):
            assert text in said
    for text in (TOVE, MIRREN, "1,450.00", "612.40", "2,437.40", "2031-05-05 to 2031-05-12"):
        assert text in said


def test_each_page_bears_the_cautions_and_its_number():
    pages = texts(agreement_pdf(agreement()))
    for number, text in enumerate(pages, start=1):
        assert " ".join(cautions.AGREEMENT) in text
        assert f"{number} / {len(pages)}" in text


def test_the_same_agreement_gives_the_same_bytes():
    assert agreement_pdf(agreement()) == agreement_pdf(agreement())


def test_a_persons_words_are_set_as_they_are_and_marked_as_theirs():
    words = "#strong[no] $x$ *y* <b> \\ and a name such as Łucja Ó Brien"
    said = " ".join(texts(agreement_pdf(agreement(own=OwnWords(fees=(words,))))))
    assert words in said
    assert "What the fees buy in the school's own words" in said


def test_a_long_text_of_the_school_flows_over_pages():
    long = tuple(f"Paragraph {i}: " + "many words of a school. " * 30 for i in range(30))
    pages = texts(agreement_pdf(agreement(own=OwnWords(words=long))))
    assert len(pages) > 3
    assert all(f"Paragraph {i}:" in " ".join(pages) for i in range(30))
