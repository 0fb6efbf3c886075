"""Readiness: a logbook of 5,000 dives held against both example standards (100 ms)."""

from __future__ import annotations

import random
from datetime import date, timedelta

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.readiness import readiness
from slatewright.course.readiness_document import readiness_document
from slatewright.course.standardfile import SHIPPED, shipped_standard
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive, Role
from slatewright.physics.mixture import Mixture

TODAY = date(2031, 5, 10)
DIVES = 5_000
LIMIT_S = 0.100
MIXES = tuple(map(Mixture.parse, ("air", "EAN32", "21/35", "18/45", "15/55", "EAN50", "O2")))


def logbook(seed=31):
    draw = random.Random(seed)  # noqa: S311 - an invented logbook, the same each time
    return tuple(
        LoggedDive(
            on_date=TODAY - timedelta(days=draw.randrange(4000)),
            minutes=draw.uniform(20, 140),
            greatest=draw.choice(
                (LoggedDepth(draw.uniform(8, 75)),
                 LoggedDepth(float(draw.randrange(30, 240)), DepthUnit.FEET))
            ),
            mixes=tuple(draw.sample(MIXES, draw.randrange(4))),
            decompression=draw.choice((True, False, None)),
            role=draw.choice(tuple(Role)),
            partners=draw.choice(((), ("Ilka Brandt",), ("Tove Aas", "Casper Holt"))),
            equipment=draw.choice(((), ("twinset", "stage", "drysuit"), ("single",))),
            number=str(number),
        )
        for number in range(DIVES)
    )  # fmt: skip


CANDIDATE = Candidate(
    name="Mirren Dahl",
    born_on=date(1996, 2, 29),
    certificates=(Certificate(title="Trimix", kinds=frozenset({"trimix", "decompression"})),),
    dives=logbook(),
)
STANDARDS = tuple(map(shipped_standard, SHIPPED))


def test_both_standards(benchmark):
    ready = benchmark(
        readiness, CANDIDATE, STANDARDS, TODAY,
        instructors=("Ilka Brandt",), partners=("Tove Aas",),
    )  # fmt: skip
    assert len(ready.judged) == len(STANDARDS)
    assert benchmark.stats["median"] < LIMIT_S


def test_both_standards_as_data(benchmark):
    ready = readiness(CANDIDATE, STANDARDS, TODAY)
    document = benchmark(readiness_document, ready)
    assert len(document["dives"]) == DIVES
