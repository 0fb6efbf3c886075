"""Columns are recognised by name and cells, in several languages. All tables are invented."""

from __future__ import annotations

import pytest

from slatewright.logs.detection import SURE, plain, proposal, unit_of
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field
from slatewright.logs.logged import DepthUnit
from slatewright.logs.table import table_of

F = Field


def proposed(text):
    return proposal(table_of(text, "x"))


@pytest.mark.parametrize(
    ("header", "row", "expected"),
    [
        (
            "Dive no,Date,Time in,Max depth (m),Duration (min),Gas,Buddy,Site,Notes",
            "1,2031-05-09,14:30,30.5,45,EAN32,Ana,The Barge,calm",
            [F.NUMBER, F.DATE, F.BEGAN, F.DEPTH, F.MINUTES, F.GAS, F.PARTNERS, F.PLACE, F.REMARK],
        ),
        (
            "Nr.;Datum;Uhrzeit;Max. Tiefe [m];Tauchzeit;Sauerstoff %;Helium %;Tauchpartner;Rolle",
            "1;09.05.2031;14:30;30,5;45;18;45;Ana;Schüler",
            [F.NUMBER, F.DATE, F.BEGAN, F.DEPTH, F.MINUTES, F.O2, F.HE, F.PARTNERS, F.ROLE],
        ),
        (
            "N°;Date;Heure;Profondeur max (m);Durée;Mélange;Binôme;Lieu;Remarques;Paliers",
            "1;09/05/2031;14h30;30,5;45 min;18/45;Ana;Barge;calme;oui",
            [
                F.NUMBER, F.DATE, F.BEGAN, F.DEPTH, F.MINUTES, F.GAS, F.PARTNERS, F.PLACE,
                F.REMARK, F.DECOMPRESSION,
            ],
        ),
        (
            "Fecha;Hora de entrada;Hora de salida;Profundidad máxima (m);Compañero;Lugar",
            "09/05/2031;10:00;10:45;30;Ana;Barco",
            [F.DATE, F.BEGAN, F.ENDED, F.DEPTH, F.PARTNERS, F.PLACE],
        ),
        (
            "Data;Ora inizio;Profondità massima (m);Durata;Miscela;Compagni;Luogo",
            "09/05/2031;10:00;30;45;aria;Ana;Barca",
            [F.DATE, F.BEGAN, F.DEPTH, F.MINUTES, F.GAS, F.PARTNERS, F.PLACE],
        ),
        (
            "Datum;Starttijd;Max diepte (m);Duur;Duikmaatje;Duikplaats;Opmerkingen",
            "09-05-2031;10:00;30;45;Ana;Boot;mooi",
            [F.DATE, F.BEGAN, F.DEPTH, F.MINUTES, F.PARTNERS, F.PLACE, F.REMARK],
        ),
        (
            "date_time,depth_ft,dive_time_s,avg_depth_ft,surface interval,water temp",
            "2031-05-09 14:30,100,2700,60,1:20,12",
            [F.DATE, F.DEPTH, F.MINUTES, None, None, None],
        ),
    ],
    ids=["English", "German", "French", "Spanish", "Italian", "Dutch", "underscores"],
)  # fmt: skip
def test_headers_in_the_trades_words(header, row, expected):
    found = proposed(f"{header}\n{row}\n{row}\n")
    assert [guess.says for guess in found.guesses] == expected
    assert all(guess.why for guess in found.guesses if guess.says)


def test_names_and_units():
    assert plain("Max. Tiefe [m]") == "max tiefe m"
    assert plain("Durée_totale #") == "duree totale #"
    units = ("Depth (m)", "depth_ft", "Tiefe in m", "Time (mm:ss)", "Depth")
    assert [unit_of(u) for u in units] == ["m", "ft", "m", "mm:ss", ""]


def test_cells_speak_where_names_do_not():
    found = proposed("a;b;c;d\n2031-05-09;30 m;45 min;EAN32\n2031-05-10;31 m;50 min;18/45\n")
    assert [guess.says for guess in found.guesses] == [F.DATE, F.DEPTH, F.MINUTES, F.GAS]
    assert all(SURE <= guess.sure < 0.7 for guess in found.guesses)


def test_a_name_whose_cells_contradict_is_no_witness():
    found = proposed("Date;Depth;Duration\nred;30 m;45\nblue;31 m;50\n")
    assert found.guesses[0].says is None
    assert "column:date" in [question.about for question in found.questions]


def test_bottom_time_is_never_taken_for_the_duration_unasked():
    found = proposed("Date;Depth (m);Bottom time\n2031-05-09;30;25\n")
    (question,) = found.questions
    assert question.about == "column:duration"
    assert "Bottom time" in question.what
    assert found.mapping.answered(question.about, question.choices[0].value)


def test_time_is_the_start_or_the_duration_as_its_cells_say():
    start = proposed("Date;Time;Depth (m);Run time\n2031-05-09;14:30;30;45\n")
    assert [g.says for g in start.guesses] == [F.DATE, F.BEGAN, F.DEPTH, F.MINUTES]
    length = proposed("Date;Time (min);Depth (m)\n2031-05-09;45;30\n")
    assert [g.says for g in length.guesses] == [F.DATE, F.MINUTES, F.DEPTH]


def settled_of(column, cells):
    rows = "".join(f"{cell if column == 'Date' else '2031-05-09'};30;" + (
        "45" if column == "Date" else cell) + "\n" for cell in cells)  # fmt: skip
    return proposed(f"Date;Depth (m);Duration\n{rows}")


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["13/05/2031", "01/06/2031"], DateOrder.DMY),
        (["05/13/2031", "06/01/2031"], DateOrder.MDY),
        (["05/05/2031", "06/06/2031"], DateOrder.DMY),  # the same days in either order
        (["31/12/31", "01/06/31"], DateOrder.DMY),
    ],
)
def test_the_order_of_dates_is_decided_over_the_column(cells, order):
    found = settled_of("Date", cells)
    assert not found.questions
    assert found.mapping.slash is order


def test_dates_with_points_have_the_day_first_unless_a_cell_says_otherwise():
    assert settled_of("Date", ["05.06.2031"]).mapping.dot is DateOrder.DMY
    assert settled_of("Date", ["05.06.2031", "05.13.2031"]).mapping.dot is DateOrder.MDY


def test_an_order_that_nothing_decides_is_asked():
    (question,) = settled_of("Date", ["01/02/2031", "03/04/2031"]).questions
    assert question.about == "date:slash"
    assert [c.value for c in question.choices] == ["d.m.y", "m/d/y"]
    assert "01/02/2031" in question.what


def test_a_hint_is_given_where_one_order_alone_stands_in_order_of_time():
    cells = ["01/02/2031", "05/02/2031", "02/03/2031", "01/04/2031"]
    (question,) = settled_of("Date", cells).questions
    assert "only as day/month/year" in question.what


def test_dates_that_contradict_each_other_are_asked():
    (question,) = settled_of("Date", ["13/05/2031", "05/13/2031"]).questions
    assert "contradict" in question.what


@pytest.mark.parametrize(
    ("cells", "bare", "clock"),
    [
        (["45", "60", "31"], BareDuration.MINUTES, None),
        (["2700", "3600"], BareDuration.SECONDS, None),
        (["0.75", "1.2"], BareDuration.HOURS, None),
        (["0:45", "1:05"], None, ClockDuration.HOURS_MINUTES),
        (["45:30", "12:05"], None, ClockDuration.MINUTES_SECONDS),
        (["17:30", "12:05"], None, ClockDuration.MINUTES_SECONDS),
        (["45", "1:05"], BareDuration.MINUTES, ClockDuration.HOURS_MINUTES),
    ],
)
def test_the_form_of_durations_is_decided_over_the_column(cells, bare, clock):
    found = settled_of("Duration", cells)
    assert not found.questions
    assert (found.mapping.bare_duration, found.mapping.clock_duration) == (bare, clock)


@pytest.mark.parametrize("cells", [["5:30", "5:10"], ["1:05", "35:00"], ["0:45", "12:30"]])
def test_durations_that_nothing_decides_are_asked(cells):
    (question,) = settled_of("Duration", cells).questions
    assert question.about == "duration:clock"
    assert [c.value for c in question.choices] == ["h:mm", "mm:ss"]


def test_a_unit_that_nobody_names_is_asked():
    (question,) = proposed("Date;Depth;Duration\n2031-05-09;100;45\n2031-05-09;30 m;45\n").questions
    assert question.about == "depth-unit:1"
    assert "1 depths" in question.what
    assert [c.value for c in question.choices] == ["m", "ft"]


def test_a_column_of_units_answers_for_the_depths():
    assert not proposed("Date;Depth;Unit;Duration\n2031-05-09;100;ft;45\n").questions


def test_two_depths_in_one_row_are_asked():
    found = proposed("Date;Depth (m);Depth (ft);Duration\n2031-05-09;30;98;45\n")
    assert [q.about for q in found.questions] == ["only:greatest depth"]
    either = proposed("Date;Depth (m);Depth (ft);Duration\n2031-05-09;30;;45\n2031-05-10;;98;45\n")
    assert not either.questions
    assert [c.unit for c in either.mapping.columns if c.says is F.DEPTH] == [
        DepthUnit.METRES, DepthUnit.FEET,
    ]  # fmt: skip


def test_helium_without_oxygen_is_asked():
    found = proposed("Date;Depth (m);Duration;Helium;Other\n2031-05-09;30;45;45;18\n")
    assert [q.about for q in found.questions] == ["column:oxygen"]
    assert [c.words for c in found.questions[0].choices] == ["Other"]
    pairs = proposed("Date;Depth (m);Duration;O2;He;O2 b\n2031-05-09;30;45;18;45;50\n")
    assert [q.about for q in pairs.questions] == ["only:oxygen"]
