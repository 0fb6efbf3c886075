"""The letter about readiness, read back from its PDF."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from slatewright import cautions
from slatewright.course.candidates import Candidate
from slatewright.course.readiness import readiness
from slatewright.course.standardfile import shipped_standard
from slatewright.course.waivers import Waiver
from slatewright.logs.logged import LoggedDepth, LoggedDive
from slatewright.paper.course_paper import PageSize
from slatewright.paper.readiness_letter import readiness_letter_paper, readiness_letter_pdf
from slatewright.paper.readiness_letter_data import NEAR_SHOWN, letter_of
from slatewright.physics.mixture import Mixture
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


# --- from what was judged ---


@pytest.fixture(scope="module")
def judged():
    dives = tuple(
        LoggedDive(
            on_date=date(2030, 1, 1) + timedelta(days=3 * i),
            minutes=50.0,
            greatest=LoggedDepth(41.9 if i % 10 == 0 else 30.0 + i % 15),
            mixes=(Mixture(0.18, 0.45),),
        )
        for i in range(130)
    )
    candidate = Candidate(name=TOVE, born_on=date(2000, 2, 29), dives=dives)
    waiver = Waiver(
        rule="card", standard="usual-minimum", reason="the card is in the post", by=MIRREN,
        on=date(2031, 4, 1),
    )  # fmt: skip
    return readiness(
        candidate,
        [shipped_standard("usual-minimum"), shipped_standard("stricter")],
        date(2031, 4, 22),
        [waiver],
    )


def test_the_letter_says_what_was_judged(judged):
    made = letter_of(judged, sender=MIRREN, course="A week on the Stair", words="Come in May.")
    assert (made.candidate, made.on, made.dives) == (TOVE, date(2031, 4, 22), 130)
    for standard, one in zip(made.standards, judged.judged, strict=True):
        assert standard.ready == one.ready
        for printed, rule in zip(standard.rules, one.rules, strict=True):
            assert (printed.count, printed.needed) == (rule.part.count, rule.part.needed)
            assert printed.state == rule.state
            assert len(printed.near) <= NEAR_SHOWN + 1
    said = {line for s in made.standards for r in s.rules for line in r.unknown}
    assert "130 dives, the first of 2030-01-01: the log names no equipment" in said
    card = next(r for r in made.standards[0].rules if r.state == "waived")
    assert card.waived == f"Waived by {MIRREN} on 2031-04-01: the card is in the post"


def test_the_letter_of_what_was_judged_is_printed_in_full(judged):
    made = letter_of(judged, sender=MIRREN)
    said = " ".join(texts(readiness_letter_pdf(made)))
    for standard in made.standards:
        assert standard.title in said
        for note in standard.notes:
            assert note in said
        for rule in standard.rules:
            for text in (rule.words, rule.waived, rule.when, *rule.near, *rule.unknown):
                assert text in said
    assert judged.medical.says in said
