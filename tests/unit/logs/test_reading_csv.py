"""Logbooks as CSV, from bytes to dives. All logbooks are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from slatewright.errors import InputError
from slatewright.logs.csv_out import write_csv
from slatewright.logs.fields import Field
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.logs.mapping import Mapping
from slatewright.logs.reading import read_logbook, reread
from slatewright.physics.mixture import AIR, Mixture

GERMAN = """\
Nr;Datum;Uhrzeit;Max. Tiefe (m);Dauer;Gas;Partner;Rolle;Deko;Ausrüstung;Ort;Bemerkung
1;09.05.2031;14:30;30,5;45;18/45, EAN50;Ana & Bo;Schüler;ja;Doppelgerät, Stage;Der Kahn;"kühl;
und klar"
2;10.05.2031;9:05;41,0;1:05;Luft;;;nein;;Grube;
3;31.02.2031;9:05;tief;52;Nitrox;;;;;;
"""


def read(text, mapping=None, name="log.csv"):
    return read_logbook(text.encode("utf-8"), name, mapping)


def test_a_whole_logbook():
    reading = read(GERMAN)
    assert not reading.questions
    assert reading.dives[0] == LoggedDive(
        on_date=date(2031, 5, 9),
        began_at=time(14, 30),
        minutes=45.0,
        greatest=LoggedDepth(30.5),
        mixes=(Mixture(0.18, 0.45), Mixture(0.5)),
        role=Role.STUDENT,
        decompression=True,
        partners=("Ana", "Bo"),
        equipment=("doppelgerät", "stage"),
        number="1",
        place="Der Kahn",
        remark="kühl;\nund klar",
        origin=Origin("log.csv", 2),
    )
    assert reading.dives[1].minutes == 65.0
    assert reading.dives[1].mixes == (AIR,)
    assert reading.dives[1].origin.line == 4


def test_a_bad_row_is_kept_aside_with_its_line_and_all_its_faults():
    (aside,) = read(GERMAN).set_aside
    assert aside.line == 5
    assert aside.text == "3;31.02.2031;9:05;tief;52;Nitrox;;;;;;"
    assert [reason.where for reason in aside.reasons] == ["Datum", "Max. Tiefe (m)", "Gas"]
    assert all(reason.right for reason in aside.reasons)
    assert str(aside).startswith("line 5: Datum:")


def test_a_corrected_row_is_read_again():
    reading = read(GERMAN)
    (aside,) = reading.set_aside
    mapping = Mapping.from_dict(reading.mapping.to_dict())  # as the store gives it back
    good = reread(aside, "3;28.02.2031;9:05;40,5;52;EAN32;;;;;;", "log.csv", mapping)
    assert isinstance(good, LoggedDive)
    assert good.origin == Origin("log.csv", 5)
    assert (good.on_date, good.greatest.value) == (date(2031, 2, 28), 40.5)
    still = reread(aside, "3;28.02.2031;9:05;tief;52;EAN32;;;;;;", "log.csv", mapping)
    assert [reason.where for reason in still.reasons] == ["Max. Tiefe (m)"]


AMERICAN = "Date,Time,Depth,Length,Buddy\n05/06/2031,2:30 PM,100,45,Ana\n05/07/2031,,101,50,Bo\n"


def test_nothing_is_read_before_the_questions_are_answered():
    reading = read(AMERICAN)
    assert reading.dives == ()
    assert [q.about for q in reading.questions] == ["date:slash", "depth-unit:2"]
    mapping = reading.mapping.answered("date:slash", "m/d/y").answered("depth-unit:2", "ft")
    answered = read(AMERICAN, mapping)
    assert not answered.questions
    assert [d.on_date for d in answered.dives] == [date(2031, 5, 6), date(2031, 5, 7)]
    assert [d.greatest for d in answered.dives] == [
        LoggedDepth(100.0, DepthUnit.FEET), LoggedDepth(101.0, DepthUnit.FEET),
    ]  # fmt: skip
    assert answered.dives[0].began_at == time(14, 30)
    assert answered.dives[1].began_at is None


def test_a_remembered_mapping_reads_the_next_file_and_says_where_it_does_not_fit():
    mapping = read(AMERICAN).mapping.answered("date:slash", "m/d/y").answered("depth-unit:2", "ft")
    nxt = "date, time ,DEPTH,Length,Buddy\n25/12/2031,9:00,90,40,Ana\n12/06/2031,9:00,90,40,Ana\n"
    reading = read(nxt, mapping)
    assert [aside.line for aside in reading.set_aside] == [2]
    assert "is the order right?" in reading.notes[0]
    semicolons = read(AMERICAN.replace(",", ";"), mapping)
    assert len(semicolons.dives) == 2
    assert semicolons.mapping.separator == ";"


def test_a_mapping_of_another_header_is_refused():
    mapping = read(AMERICAN).mapping
    with pytest.raises(InputError, match="another header"):
        read(GERMAN, mapping)


def test_a_person_may_change_the_proposal():
    text = "Date,Depth (m),Minutes,Extra\n2031-05-09,30,45,The Barge\n"
    reading = read(text)
    assert reading.dives[0].place == ""
    changed = read(text, reading.mapping.reading(3, Field.PLACE))
    assert changed.dives[0].place == "The Barge"
    assert changed.proposal is None


def test_only_a_header():
    reading = read("Date,Depth (m),Minutes\n")
    assert (reading.dives, reading.set_aside, reading.questions) == ((), (), ())
    assert "no dive" in reading.notes[0]


@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xef\xbb\xbf"])
def test_an_empty_file_is_refused(data):
    with pytest.raises(InputError, match="empty"):
        read_logbook(data, "log.csv")


def test_a_dive_over_midnight_belongs_to_the_day_on_which_it_began():
    dive = read("Date,Time in,Time out,Depth (m)\n2031-12-31,23:40,00:25,30\n").dives[0]
    assert (dive.on_date, dive.minutes) == (date(2031, 12, 31), 45.0)
    assert dive.ended.date() == date(2032, 1, 1)


def test_the_29th_of_february():
    text = "Date,Depth (m),Minutes\n29.02.2028,30,45\n29.02.2031,30,45\n"
    reading = read(text)
    assert [dive.on_date for dive in reading.dives] == [date(2028, 2, 29)]
    assert [aside.line for aside in reading.set_aside] == [3]


def test_time_in_the_cell_of_the_date():
    assert read("Date,Depth (m),Min\n2031-05-09 14:30,30,45\n").dives[0].began_at == time(14, 30)
    zone = read("Date,Depth (m),Min\n2031-05-09T14:30:00Z,30,45\n")
    assert zone.dives[0].began_at == time(14, 30)
    assert "Greenwich" in zone.notes[0]


def test_rows_of_another_width():
    reading = read("Date,Depth (m),Minutes,Place\n2031-05-09,30,45\n2031-05-10,30,5,45,Barge\n")
    assert len(reading.dives) == 1
    assert "5 cells under 4 columns" in str(reading.set_aside[0])


def test_units_in_a_column_of_their_own():
    text = "Date,Depth,Unit,Minutes\n2031-05-09,30,m,45\n2031-05-10,100,ft,45\n2031-05-11,9,x,45\n"
    reading = read(text)
    assert [str(dive.greatest) for dive in reading.dives] == ["30 m", "100 ft"]
    assert "'x' is no unit" in str(reading.set_aside[0])


def test_a_damaged_gas_is_asked_about():
    """A whole deep dive on the gas of the way up: known damage, common practice."""
    text = "Date,Depth (m),Minutes,Gas\n2031-05-09,100,60,EAN50\n2031-05-10,100,60,10/70; EAN50\n"
    reading = read(text)
    assert len(reading.dives) == 1
    assert "bar of oxygen" in str(reading.set_aside[0])


def test_minutes_that_can_only_be_seconds_mistaken_are_asked_about():
    (aside,) = read("Date,Depth (m),Duration (s)\n2031-05-09,30,45\n").set_aside
    assert "m/min" in str(aside)


def test_circuits_and_roles_that_no_word_names():
    text = "Date,Depth (m),Minutes,Circuit\n2031-05-09,30,45,CCR\n2031-05-10,30,45,SCR\n"
    reading = read(text)
    assert reading.dives[0].circuit is Circuit.CLOSED
    assert "no circuit" in str(reading.set_aside[0])


def test_semicolons_between_names_leave_commas_inside():
    reading = read('Date,Depth (m),Minutes,Buddy\n2031-05-09,30,45,"Lund, Ana; Berg, Bo"\n')
    assert reading.dives[0].partners == ("Lund, Ana", "Berg, Bo")


def test_progress_is_told():
    rows = "".join(f"2031-05-09,{10 + n % 30},45\n" for n in range(250))
    told = []
    read_logbook(
        f"Date,Depth (m),Minutes\n{rows}".encode(), "x", progress=lambda a, b: told.append((a, b))
    )
    assert told == [(100, 250), (200, 250), (250, 250)]


def test_5000_rows_with_a_bad_one_in_the_middle():
    rows = [f"2031-05-09,{10 + n % 30},45" for n in range(5000)]
    rows[2500] = "2031-05-09,?,45"
    reading = read("Date,Depth (m),Minutes\n" + "\n".join(rows))
    assert len(reading.dives) == 4999
    assert [aside.line for aside in reading.set_aside] == [2502]


DIVE = LoggedDive(
    on_date=date(2031, 5, 9),
    minutes=45.5,
    greatest=LoggedDepth(100.0, DepthUnit.FEET),
    remark='=1+1 "x"',
)


def test_our_own_table():
    text = write_csv([DIVE])
    head, row = text.splitlines()
    assert head.startswith("number,date,began_at,duration_min,greatest_depth_m,greatest_depth_ft,")
    assert ",45.5,,100," in row
    assert "'=1+1" in row  # no formula for a spreadsheet
    reading = read(text)
    assert reading.dives == (replace(DIVE, origin=Origin("log.csv", 2)),)
    assert reading.proposal.guesses[0].sure == 1.0


def test_our_own_table_after_a_spreadsheet_has_had_it():
    text = write_csv([DIVE]).replace("2031-05-09", "05/09/2031").replace(",", ";")
    assert [q.about for q in read(text).questions] == ["date:slash"]


def test_a_nul_cannot_be_written():
    with pytest.raises(InputError, match="NUL"):
        write_csv([replace(DIVE, place="a\0b")])
