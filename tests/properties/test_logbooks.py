"""Logbooks go out and come back without loss. All dives are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.logs.csv_out import write_csv
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Role
from slatewright.logs.reading import read_logbook
from slatewright.logs.uddf_out import write_uddf
from slatewright.physics.mixture import AIR, OXYGEN, Mixture

FEW = settings(max_examples=60, deadline=None)
LETTERS = st.characters(
    exclude_categories=["Cs", "Cc", "Cn"],
    include_characters="\n\r\t\"';,|=&<>",
    exclude_characters="\ufffe\uffff\ufffd",
)
WORDS = st.text(LETTERS, max_size=12)
NAMES = st.text(LETTERS, min_size=1, max_size=8)


@st.composite
def mixtures(draw):
    if draw(st.booleans()):
        return draw(st.sampled_from([AIR, OXYGEN, Mixture(0.18, 0.45), Mixture(0.32)]))
    o2 = draw(st.floats(0.05, 0.3))
    return Mixture(o2, draw(st.floats(0.0, 0.6)))


@st.composite
def dives(draw):
    unit = draw(st.sampled_from(DepthUnit))
    value = draw(st.floats(0.5, 100.0 if unit is DepthUnit.METRES else 328.0))
    return LoggedDive(
        on_date=draw(st.dates(date(1950, 1, 1), date(2099, 12, 31))),
        began_at=draw(st.none() | st.times()),
        minutes=draw(st.floats(4.0, 1440.0)),
        greatest=LoggedDepth(value, unit),
        mixes=tuple(draw(st.lists(mixtures(), max_size=4, unique=True))),
        circuit=draw(st.sampled_from(Circuit)),
        role=draw(st.sampled_from(Role)),
        decompression=draw(st.sampled_from([None, True, False])),
        partners=tuple(draw(st.lists(NAMES, max_size=3))),
        equipment=tuple(draw(st.lists(NAMES, max_size=3))),
        number=draw(WORDS),
        place=draw(WORDS),
        remark=draw(WORDS),
    )


def plausible(dive):
    """The gas could be breathed there: what could not is kept aside, and tested elsewhere."""
    least = min((mix.o2 for mix in dive.mixes), default=0.1)
    return least * (dive.greatest.metres / 10.0 + 1.0) < 2.4


BOOKS = st.lists(dives().filter(plausible), min_size=1, max_size=5)


def back(text):
    reading = read_logbook(text.encode("utf-8"), "out")
    assert not reading.set_aside
    assert not reading.questions
    return [
        replace(dive, origin=LoggedDive.__dataclass_fields__["origin"].default)
        for dive in reading.dives
    ]


@FEW
@given(BOOKS)
def test_csv_comes_back(book):
    assert back(write_csv(book)) == book


@FEW
@given(BOOKS)
def test_uddf_comes_back(book):
    assert back(write_uddf(book)) == book


@FEW
@given(BOOKS)
def test_csv_and_uddf_tell_the_same(book):
    assert back(write_uddf(back(write_csv(book)))) == back(write_csv(back(write_uddf(book))))
