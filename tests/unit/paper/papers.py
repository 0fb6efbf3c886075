"""Reading back papers of a course, and a letter of our own invention."""

from __future__ import annotations

import io
from datetime import date

from pypdf import PdfReader

from slatewright.paper.course_paper import PageSize
from slatewright.paper.readiness_letter import LetterRule, LetterStandard, ReadinessLetter
from unit.course.courses import MIRREN, TOVE

POINTS_PER_MM = 72.0 / 25.4
SIZES_MM = {PageSize.A4: (210.0, 297.0), PageSize.LETTER: (215.9, 279.4)}


def texts(pdf):
    return [" ".join(p.extract_text().split()) for p in PdfReader(io.BytesIO(pdf)).pages]


def sizes_mm(pdf):
    boxes = [page.mediabox for page in PdfReader(io.BytesIO(pdf)).pages]
    return [
        (round(float(b.width) / POINTS_PER_MM, 1), round(float(b.height) / POINTS_PER_MM, 1))
        for b in boxes
    ]


def letter(**more):
    rules = (
        LetterRule(words="At least 18 years old", count=31, needed=18, of="years", state="met"),
        LetterRule(
            words="At least 25 dives to 30 m / 100 ft or deeper",
            count=17,
            needed=25,
            of="dives",
            state="not met",
            when="8 more are needed; at the pace of the last year on 2032-01-19.",
            near=("2030-08-14, 29.8 m: 0.2 m too shallow", "2030-09-02, 99 ft: 1 ft too shallow"),
        ),
        LetterRule(
            words="A card for trimix",
            count=0,
            needed=1,
            of="",
            state="waived",
            waived="Waived by Mirren Askvale on 2031-04-20: the card is in the post.",
        ),
    )
    usual = LetterStandard(
        title="Usual minimum",
        ready=False,
        when="All met at this pace on 2032-01-19.",
        rules=rules,
        notes=("This standard is an example.",),
    )
    facts = {
        "candidate": TOVE,
        "sender": MIRREN,
        "course": "A week on the Stair",
        "on": date(2031, 4, 22),
        "dives": 137,
        "standards": (usual,),
        "medical": "valid until 2031-11-30",
    }
    return ReadinessLetter(**facts | more)
