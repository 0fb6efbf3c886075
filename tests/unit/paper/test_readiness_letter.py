"""The letter about readiness, read back from its PDF."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright import cautions
from slatewright.paper.course_paper import PageSize
from slatewright.paper.readiness_letter import readiness_letter_paper, readiness_letter_pdf
from unit.course.courses import MIRREN, TOVE
from unit.paper.papers import SIZES_MM, letter, sizes_mm, texts


@pytest.mark.parametrize("size", list(PageSize))
def test_each_rule_has_count_need_and_state(size):
    pdf = readiness_letter_pdf(letter(), size)
    (text,) = texts(pdf)
    assert sizes_mm(pdf) == [SIZES_MM[size]]
    for said in (
        TOVE,
        MIRREN,
        "31 years, 18 asked met",
        "17 of 25 dives",
        "nearly: 2030-08-14, 29.8 m: 0.2 m too shallow",
        "nearly: 2030-09-02, 99 ft: 1 ft too shallow",
        "8 more are needed; at the pace of the last year on 2032-01-19.",
        "Waived by Mirren Askvale on 2031-04-20: the card is in the post.",
        "not ready: 1 of 3 rules met, 1 waived",
        "All met at this pace on 2032-01-19.",
        "This standard is an example.",
        "valid until 2031-11-30",
        " ".join(cautions.RECORD),
    ):
        assert said in text


def test_a_state_is_a_shape_of_its_own_and_a_word():
    blocks = [b for b in readiness_letter_paper(letter()).blocks if b["kind"] == "rule"]
    assert [(b["sign"], b["state"]) for b in blocks] == [
        ("done", "met"),
        ("open", "not met"),
        ("partly", "waived"),
    ]


def test_the_bar_is_the_share_and_a_rule_without_a_count_has_none():
    shares = [b["share"] for b in readiness_letter_paper(letter()).blocks if b["kind"] == "rule"]
    assert shares == [pytest.approx(31 / 18), 17 / 25, -1.0]


def test_two_standards_stand_one_after_the_other():
    usual = letter().standards[0]
    strict = replace(usual, title="Stricter", ready=True, when="", notes=())
    text = " ".join(texts(readiness_letter_pdf(letter(standards=(usual, strict)))))
    first, second = text.split("Stricter")
    assert "Usual minimum not ready: 1 of 3 rules met, 1 waived" in first
    assert second.startswith(" ready: 1 of 3 rules met, 1 waived")


def test_the_same_letter_gives_the_same_bytes_and_words_are_no_markup():
    words = "#emph[dear] $diver$"
    assert readiness_letter_pdf(letter(words=words)) == readiness_letter_pdf(letter(words=words))
    assert words in " ".join(texts(readiness_letter_pdf(letter(words=words))))
