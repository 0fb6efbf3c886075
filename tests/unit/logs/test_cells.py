"""What stands in a cell: numbers, depths, dates, times, durations, gases, words. All invented."""

from __future__ import annotations

from datetime import date, time

import pytest

from slatewright.errors import InputError
from slatewright.logs.cell_dates import day
from slatewright.logs.cell_gases import gases, of_shares, our_gases, our_word
from slatewright.logs.cell_numbers import decimal_mark_of, depth, number
from slatewright.logs.cell_times import clock, minutes
from slatewright.logs.cell_words import circuit, decompression, listed, names, role
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Share
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, Role
from slatewright.physics.mixture import AIR, OXYGEN, Mixture

DMY, MDY, YMD = DateOrder
METRES, FEET = DepthUnit


@pytest.mark.parametrize(
    ("text", "mark", "most", "value"),
    [
        ("30", "", 350, 30.0),
        ("30,5", "", 350, 30.5),
        ("30.5", "", 350, 30.5),
        ("12,345", "", 350, 12.345),  # 12345 is beyond any depth
        ("0,125", "", 9999, 0.125),
        ("1,234", ".", 9999, 1234.0),
        ("1,234", ",", 9999, 1.234),
        ("1.234,5", "", 9999, 1234.5),
        ("1,234.5", "", 9999, 1234.5),
        ("1'234", "", 9999, 1234.0),
        ("1 234,5", "", 9999, 1234.5),
        ("\uff13\uff10", "", 350, 30.0),  # broad digits
    ],
)
def test_numbers(text, mark, most, value):
    assert number(text, mark, most) == value


@pytest.mark.parametrize(
    ("text", "mark"),
    [("1,234", ""), ("30,5", "."), ("3O", ""), ("", ""), ("-3", ""), ("1.2.3", ""), ("9" * 70, "")],
)
def test_no_numbers(text, mark):
    with pytest.raises(InputError) as caught:
        number(text, mark, 9999)
    assert caught.value.right


def test_a_decimal_mark_shows_only_beyond_doubt():
    cells = ("30,5", "30.5 m", "1,234", "30", "1.234,5", "1,234.5")
    assert [decimal_mark_of(cell) for cell in cells] == [",", ".", "", "", ",", "."]


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("30", METRES, LoggedDepth(30.0, METRES)),
        ("100", FEET, LoggedDepth(100.0, FEET)),
        ("30 m", None, LoggedDepth(30.0, METRES)),
        ("30m", FEET, LoggedDepth(30.0, METRES)),  # the cell counts before the column
        ("100 ft", METRES, LoggedDepth(100.0, FEET)),
        ("100'", None, LoggedDepth(100.0, FEET)),
        ("30,5 Meter", None, LoggedDepth(30.5, METRES)),
        ("99 feet", None, LoggedDepth(99.0, FEET)),
        ("-30.5", METRES, LoggedDepth(30.5, METRES)),
    ],
)
def test_depths(text, unit, expected):
    assert depth(text, "", unit) == expected


@pytest.mark.parametrize("text", ["30", "30 fathoms", "deep", "0 m", "400 m", "1,100 ft"])
def test_no_depths(text):
    with pytest.raises(InputError):
        depth(text, "", None)


@pytest.mark.parametrize(
    ("text", "orders", "expected", "rest"),
    [
        ("2031-05-09", {}, date(2031, 5, 9), ""),
        ("2031/5/9", {}, date(2031, 5, 9), ""),
        ("20310509", {}, date(2031, 5, 9), ""),
        ("2031-05-09T14:30:00", {}, date(2031, 5, 9), "T14:30:00"),
        ("09.05.2031", {"dot": DMY}, date(2031, 5, 9), ""),
        ("9. 5. 2031", {"dot": DMY}, date(2031, 5, 9), ""),
        ("09/05/2031 14:30", {"slash": DMY}, date(2031, 5, 9), "14:30"),
        ("09/05/2031", {"slash": MDY}, date(2031, 9, 5), ""),
        ("09-05-31", {"dash": DMY}, date(2031, 5, 9), ""),
        ("09-05-31", {"dash": YMD}, date(2009, 5, 31), ""),
        ("09.05.50", {"dot": DMY}, date(1950, 5, 9), ""),
        ("09.05.49", {"dot": DMY}, date(2049, 5, 9), ""),
        ("9 May 2031", {}, date(2031, 5, 9), ""),
        ("May 9, 2031", {}, date(2031, 5, 9), ""),
        ("9. März 2031", {}, date(2031, 3, 9), ""),
        ("1er août 2031", {}, date(2031, 8, 1), ""),
        ("9 de mayo de 2031", {}, date(2031, 5, 9), ""),
        ("Fri 9-May-2031", {}, date(2031, 5, 9), ""),
        ("Fr. 09.05.2031", {"dot": DMY}, date(2031, 5, 9), ""),
        ("29.02.2028", {"dot": DMY}, date(2028, 2, 29), ""),  # a leap year
    ],
)
def test_dates(text, orders, expected, rest):
    known = {"slash": None, "dash": None, "dot": None, **orders}
    assert day(text, **known) == (expected, rest)


@pytest.mark.parametrize(
    "text",
    ["29.02.2031", "2031-02-29", "31 June 2031", "13/13/2031", "soon", "45781", "09/05/2031"],
)
def test_no_dates(text):
    with pytest.raises(InputError) as caught:
        day(text, None, None, DMY)
    assert "2031-05-09" in caught.value.right


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14:30", time(14, 30)),
        ("2:30 PM", time(14, 30)),
        ("2.30pm", time(14, 30)),
        ("12:05 am", time(0, 5)),
        ("12:05 p.m.", time(12, 5)),
        ("2 pm", time(14)),
        ("14h30", time(14, 30)),
        ("14.30 Uhr", time(14, 30)),
        ("0930", time(9, 30)),
        ("23:59:58", time(23, 59, 58)),
        ("T14:30:00", time(14, 30)),
    ],
)
def test_times_of_day(text, expected):
    assert clock(text) == (expected, "")


def test_a_zone_is_told_and_not_added():
    assert clock("T14:30:00Z") == (time(14, 30), "Z")
    assert clock("14:30:00+02:00") == (time(14, 30), "+02:00")


@pytest.mark.parametrize("text", ["25:00", "14:60", "13:30 pm", "0:30 pm", "noon", "14"])
def test_no_times_of_day(text):
    with pytest.raises(InputError):
        clock(text)


@pytest.mark.parametrize(
    ("text", "bare", "pair", "expected"),
    [
        ("45", BareDuration.MINUTES, None, 45.0),
        ("2700", BareDuration.SECONDS, None, 45.0),
        ("0,75", BareDuration.HOURS, None, 45.0),
        ("45 min", None, None, 45.0),
        ("45'", None, None, 45.0),
        ("45'30\"", None, None, 45.5),
        ("1h05", None, None, 65.0),
        ("1 h 5 min", None, None, 65.0),
        ("1 Std. 5 Min.", None, None, 65.0),
        ("2700 s", None, None, 45.0),
        ("PT1H5M", None, None, 65.0),
        ("1:05", None, ClockDuration.HOURS_MINUTES, 65.0),
        ("65:30", None, ClockDuration.MINUTES_SECONDS, 65.5),
        ("1:05:30", None, None, 65.5),
    ],
)
def test_durations(text, bare, pair, expected):
    assert minutes(text, bare, pair, "") == pytest.approx(expected)


@pytest.mark.parametrize("text", ["45", "1:05", "30 m", "1:75:00", "long", "45 ft"])
def test_no_durations_where_nobody_says(text):
    with pytest.raises(InputError) as caught:
        minutes(text, None, None, "")
    assert caught.value.right


def test_sixty_is_no_last_place():
    with pytest.raises(InputError, match="60 or more"):
        minutes("1:60", None, ClockDuration.HOURS_MINUTES, "")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("18/45", (Mixture(0.18, 0.45),)),
        ("TX 18/45", (Mixture(0.18, 0.45),)),
        ("Trimix 18/45", (Mixture(0.18, 0.45),)),
        ("EAN32", (Mixture(0.32),)),
        ("Nitrox 32", (Mixture(0.32),)),
        ("32 %", (Mixture(0.32),)),
        ("32% O2", (Mixture(0.32),)),
        ("air", (AIR,)),
        ("Luft", (AIR,)),
        ("21", (AIR,)),
        ("0.32", (Mixture(0.32),)),
        ("Sauerstoff", (OXYGEN,)),
        ("18/45, EAN50, O2", (Mixture(0.18, 0.45), Mixture(0.5), OXYGEN)),
        ("18/45;EAN50", (Mixture(0.18, 0.45), Mixture(0.5))),
        ("EAN32,EAN50", (Mixture(0.32), Mixture(0.5))),
        ("18,5/45", (Mixture(0.185, 0.45),)),
        ("air; air", (AIR,)),
    ],
)
def test_gases(text, expected):
    assert gases(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "Nitrox", "Trimix", "80/45", "argon", "12", "18", "1%", "18/45,50",  # the last two ways
        "0.18/0.45",
    ],
)  # fmt: skip
def test_no_gases(text):
    with pytest.raises(InputError) as caught:
        gases(text)
    assert caught.value.right


@pytest.mark.parametrize(
    ("o2", "he", "share", "expected"),
    [
        ("18", "45", None, Mixture(0.18, 0.45)),
        ("18 %", "45 %", None, Mixture(0.18, 0.45)),
        ("0,18", "0,45", None, Mixture(0.18, 0.45)),
        ("32", "", None, Mixture(0.32)),
        ("32", "0", Share.PERCENT, Mixture(0.32)),
        ("1", "", None, OXYGEN),
        ("100", "", None, OXYGEN),
        ("", "", None, None),
        ("0", "0", None, None),
        ("-", "-", None, None),
    ],
)
def test_shares(o2, he, share, expected):
    assert of_shares(o2, he, share, "") == expected


@pytest.mark.parametrize(
    ("o2", "he", "share"),
    [
        ("18", "0.45", None),  # per cent beside a fraction
        ("", "45", None),
        ("0.32", "", Share.PERCENT),
        ("32", "", Share.FRACTION),
        ("12", "", None),  # without helium
        ("70", "45", None),
    ],
)
def test_no_shares(o2, he, share):
    with pytest.raises(InputError):
        of_shares(o2, he, share, "")


def test_our_own_words_for_gases_keep_every_digit():
    for mix in (AIR, OXYGEN, Mixture(0.18, 0.45), Mixture(1 / 3), Mixture(0.1 + 0.2, 0.123456789)):
        assert our_gases(our_word(mix)) == (mix,)
    assert our_word(Mixture(0.18, 0.45)) == "18/45"
    assert our_word(Mixture(0.5)) == "EAN50"


def test_roles_and_circuits():
    assert [role(w) for w in ("Instructor", "Tauchlehrer", "élève")] == [
        Role.INSTRUCTOR, Role.INSTRUCTOR, Role.STUDENT,
    ]  # fmt: skip
    assert circuit("CCR") is Circuit.CLOSED
    assert circuit("OC") is Circuit.OPEN
    for word in ("SCR", "half"):
        with pytest.raises(InputError, match="no circuit"):
            circuit(word)
    with pytest.raises(InputError, match="no role"):
        role("boatman")


def test_stops_by_word_or_minutes():
    assert [decompression(w) for w in ("yes", "Ja", "non", "0", "12 min", "0,5")] == [
        True, True, False, False, True, True,
    ]  # fmt: skip
    with pytest.raises(InputError):
        decompression("perhaps")


def test_names():
    assert names("Ana, Bo & Cy and Di", commas=True) == ("Ana", "Bo", "Cy", "Di")
    assert names("Lund, Ana; Bo", commas=False) == ("Lund, Ana", "Bo")
    assert listed('Ana; "Bo; Cy"; ""') == ("Ana", "Bo; Cy", "")
    with pytest.raises(InputError):
        listed('"Ana')
