"""The mapping that a person confirms: kept by its header, changed by answers, plain as JSON."""

from __future__ import annotations

import json

import pytest

from slatewright.errors import InputError
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field, Share
from slatewright.logs.logged import DepthUnit
from slatewright.logs.mapping import Column, Mapping, header_key

MAPPING = Mapping(
    columns=(
        Column("Tag", Field.DATE),
        Column("Tiefe", Field.DEPTH, DepthUnit.FEET),
        Column("Zeit"),
    ),
    separator=";",
    slash=DateOrder.MDY,
    bare_duration=BareDuration.MINUTES,
    clock_duration=ClockDuration.MINUTES_SECONDS,
    decimal_mark=",",
    share=Share.FRACTION,
    commas=False,
)


def test_the_key_is_that_of_the_header():
    assert MAPPING.key == header_key(["tag", " TIEFE ", "Zeit"])
    assert MAPPING.key != header_key(["Tag", "Tiefe"])
    assert MAPPING.key != header_key(["Tag", "Zeit", "Tiefe"])
    assert len(MAPPING.key) == 64


def test_json_and_back():
    assert Mapping.from_dict(json.loads(json.dumps(MAPPING.to_dict()))) == MAPPING
    plain = Mapping(columns=(Column("a"),), headed=False)
    assert Mapping.from_dict(json.loads(json.dumps(plain.to_dict()))) == plain


@pytest.mark.parametrize(
    "change",
    [
        {"schema": "another"},
        {"columns": "many"},
        {"columns": [{"name": "a", "says": "weather"}]},
        {"separator": ""},
        {"decimal_mark": "x"},
        {"slash": "y/d/m"},
        {"key": "0"},
    ],
)
def test_what_is_no_mapping(change):
    with pytest.raises(InputError) as caught:
        Mapping.from_dict({**MAPPING.to_dict(), **change})
    assert caught.value.right


def test_answers():
    assert MAPPING.answered("column:duration", "2").columns[2].says is Field.MINUTES
    assert MAPPING.answered("depth-unit:1", "m").columns[1].unit is DepthUnit.METRES
    assert MAPPING.answered("date:slash", "d.m.y").slash is DateOrder.DMY
    assert MAPPING.answered("date:dash", "m/d/y").dash is DateOrder.MDY
    assert MAPPING.answered("date:dot", "d.m.y").dot is DateOrder.DMY
    assert MAPPING.answered("duration:bare", "s").bare_duration is BareDuration.SECONDS
    assert MAPPING.answered("duration:clock", "h:mm").clock_duration is ClockDuration.HOURS_MINUTES
    two = MAPPING.reading(2, Field.DEPTH)
    assert two.positions(Field.DEPTH) == (1, 2)
    assert two.answered("only:greatest depth", "2").positions(Field.DEPTH) == (2,)


@pytest.mark.parametrize(
    ("about", "value"),
    [
        ("weather", "fine"),
        ("column:duration", "9"),
        ("column:duration", "two"),
        ("column:weather", "1"),
        ("depth-unit:1", "fathoms"),
        ("date:slash", "y"),
        ("date:star", "d.m.y"),
    ],
)
def test_what_is_no_answer(about, value):
    with pytest.raises(InputError):
        MAPPING.answered(about, value)


def test_a_field_that_one_column_says_moves():
    moved = MAPPING.reading(2, Field.DATE)
    assert moved.positions(Field.DATE) == (2,)
    assert moved.columns[0].says is None
    with pytest.raises(InputError, match="column 4"):
        MAPPING.reading(3, Field.DATE)
