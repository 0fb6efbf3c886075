"""UDDF in and out. The files are invented; their elements are those of UDDF, from memory."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, time

import pytest
from defusedxml import ElementTree

from slatewright.errors import InputError
from slatewright.logs import uddf_parts
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.logs.reading import read_logbook, reread
from slatewright.logs.uddf_out import write_uddf
from slatewright.physics.mixture import AIR, Mixture

FULL = """<?xml version="1.0" encoding="utf-8"?>
<uddf xmlns="urn:invented:uddf" version="3.2.1">
<generator><name>invented</name></generator>
<diver>
 <owner id="me"><personal><firstname>Al</firstname><lastname>Invented</lastname></personal>
  <equipment><suit id="s1"><name>Drysuit</name></suit><tank id="t1"><name>Stage</name></tank>
  </equipment></owner>
 <buddy id="b1"><personal><firstname>Ana</firstname><lastname>Lund</lastname></personal></buddy>
</diver>
<divesite><site id="p1"><name>The Barge</name></site></divesite>
<gasdefinitions>
 <mix id="tmx"><name>18/45</name>
  <o2>0.18</o2><n2>0.37</n2><he>0.45</he><ar>0.0</ar><h2>0.0</h2></mix>
 <mix id="ean50"><o2>5E-1</o2><n2>0.5</n2><he>0</he></mix>
</gasdefinitions>
<profiledata>
<repetitiongroup id="rg">
 <dive id="d1">
  <informationbeforedive>
   <link ref="b1"/><link ref="p1"/>
   <divenumber>7</divenumber><datetime>2031-05-09T14:30:00</datetime>
  </informationbeforedive>
  <tankdata id="td1"><link ref="tmx"/><tankvolume>0.024</tankvolume>
   <tankpressurebegin>2E+07</tankpressurebegin></tankdata>
  <tankdata><link ref="t1"/></tankdata>
  <samples>
   <waypoint><depth>0.0</depth><divetime>0</divetime><switchmix ref="tmx"/></waypoint>
   <waypoint><depth>60.0</depth><divetime>300</divetime></waypoint>
   <waypoint><depth>21.0</depth><divetime>1500</divetime><switchmix ref="ean50"/>
    <decostop kind="mandatory" decodepth="21" duration="60"/></waypoint>
   <waypoint><depth>0.0</depth><divetime>3.6E+03</divetime></waypoint>
  </samples>
  <informationafterdive>
   <greatestdepth>60.4</greatestdepth><diveduration>3660.0</diveduration>
   <equipmentused><leadquantity>2</leadquantity><link ref="s1"/></equipmentused>
   <notes><para>calm</para><para>and   clear</para></notes>
  </informationafterdive>
 </dive>
</repetitiongroup>
</profiledata>
</uddf>
"""


def read(text, name="log.uddf"):
    return read_logbook(text if isinstance(text, bytes) else text.encode("utf-8"), name)


def small(inside, definitions=""):
    """A file with one dive, in which the given elements stand."""
    return (
        f"<uddf version='3.2.0'>\n{definitions}\n<profiledata><repetitiongroup>\n<dive id='d'>\n"
        f"{inside}\n</dive>\n</repetitiongroup></profiledata></uddf>"
    )


def line_of(words, text=FULL):
    return text.count("\n", 0, text.index(words)) + 1


BEFORE = "<informationbeforedive><datetime>2031-05-09T14:30:00</datetime></informationbeforedive>"
AFTER = (
    "<informationafterdive><greatestdepth>30.0</greatestdepth>"
    "<diveduration>2700</diveduration></informationafterdive>"
)
EXPECTED = LoggedDive(
    on_date=date(2031, 5, 9),
    began_at=time(14, 30),
    minutes=61.0,
    greatest=LoggedDepth(60.4),
    mixes=(Mixture(0.18, 0.45), Mixture(0.5)),
    decompression=True,
    partners=("Ana Lund",),
    equipment=("drysuit",),
    number="7",
    place="The Barge",
    remark="calm\nand clear",
    origin=Origin("log.uddf", line_of("<dive id")),
)


@pytest.mark.parametrize(
    "text",
    [
        FULL,
        FULL.replace(' xmlns="urn:invented:uddf"', ""),
        FULL.replace('version="3.2.1"', 'version="2.2.0"'),
        "\ufeff" + FULL,
    ],
    ids=["with a namespace", "without", "version 2", "with a mark"],
)
def test_a_whole_dive(text):
    reading = read(text)
    assert reading.set_aside == ()
    assert reading.dives == (EXPECTED,)
    assert reading.mapping is None
    assert reading.notes == ("1 dives have a cylinder that does not name its gas",)


def test_a_namespace_with_a_prefix():
    text = re.sub(r"<(/?)(?=[a-z])", r"<\1u:", FULL).replace("xmlns=", "xmlns:u=")
    assert "<u:dive" in text
    assert replace(read(text).dives[0], origin=EXPECTED.origin) == EXPECTED


@pytest.mark.parametrize("encoding", ["utf-16", "iso-8859-1"])
def test_other_encodings(encoding):
    text = FULL.replace("utf-8", encoding).replace("The Barge", "Größe")
    assert read(text.encode(encoding)).dives[0].place == "Größe"


def test_what_the_waypoints_say_where_nothing_else_does():
    points = (
        "<samples><waypoint><depth>0</depth><divetime>0</divetime></waypoint>"
        + "".join(
            f"<waypoint><depth>{d}</depth><divetime>{t}</divetime></waypoint>"
            for d, t in ((12.5, 60), (31.4, 600), (6, 2000), (0, 2400))
        )
        + "</samples>"
    )
    (dive,) = read(small(BEFORE + points)).dives
    assert (dive.greatest.value, dive.minutes) == (31.4, 40.0)


def test_date_and_time_as_old_versions_have_them():
    before = (
        "<date><year>2031</year><month>5</month><day>9</day></date>"
        "<time><hour>14</hour><minute>5</minute></time>"
    )
    (dive,) = read(small(before + AFTER)).dives
    assert (dive.on_date, dive.began_at) == (date(2031, 5, 9), time(14, 5))
    (dive,) = read(small(BEFORE.replace("T14:30:00", "") + AFTER)).dives
    assert dive.began_at is None


def test_zones():
    assert read(small(BEFORE.replace(":00<", ":00Z<") + AFTER)).notes
    offset = read(small(BEFORE.replace(":00<", ":00+02:00<") + AFTER))
    assert offset.dives[0].began_at == time(14, 30)
    assert not offset.notes


def test_closed_circuits():
    samples = (
        "<samples><waypoint><depth>30</depth><divetime>60</divetime>"
        "<divemode type='{}'/></waypoint></samples>"
    )
    (dive,) = read(small(BEFORE + samples.format("closedcircuit") + AFTER)).dives
    assert dive.circuit is Circuit.CLOSED
    (aside,) = read(small(BEFORE + samples.format("semiclosedcircuit") + AFTER)).set_aside
    assert "neither open nor closed" in str(aside)


MIX = "<gasdefinitions><mix id='m'><o2>{}</o2><n2>{}</n2><he>{}</he></mix></gasdefinitions>"
TANK = "<tankdata><link ref='m'/></tankdata>"


@pytest.mark.parametrize(
    ("inside", "definitions", "words"),
    [
        (AFTER, "", "the date is missing"),
        (BEFORE.replace("05-09", "02-30") + AFTER, "", "no day '2031-02-30T14:30:00'"),
        (BEFORE.replace("14:30", "25:30") + AFTER, "", "no time of day"),
        (BEFORE + AFTER.replace("30.0", "deep"), "", "'deep' is no number"),
        (BEFORE + AFTER.replace("30.0", "nan"), "", "'nan' is no number"),
        (BEFORE + AFTER.replace("30.0", "1E+99"), "", "no greatest depth"),
        (BEFORE + AFTER.replace("30.0", "0"), "", "no greatest depth"),
        (BEFORE + AFTER.replace("30.0", ""), "", "the greatest depth is missing"),
        (BEFORE + AFTER.replace("2700", "45"), "", "m/min"),  # minutes where seconds belong
        (BEFORE + TANK + AFTER, MIX.format(21, 79, 0), "sum to 100"),
        (BEFORE + TANK + AFTER, MIX.format("0.18", "0.37", "0"), "sum to 0.55"),
        (BEFORE + TANK + AFTER, MIX.format("", "0.5", "0"), "a share is missing"),
        (BEFORE + TANK + AFTER.replace("30.0", "100"), MIX.format("0.5", "0.5", "0"), "of oxygen"),
        (
            BEFORE + "<samples><waypoint><depth>1</depth><divetime>1</divetime>"
            "<switchmix ref='lost'/></waypoint></samples>" + AFTER,
            "",
            "no gas 'lost'",
        ),
    ],
)  # fmt: skip
def test_a_broken_dive_is_kept_aside_with_its_line(inside, definitions, words):
    reading = read(small(inside, definitions))
    assert reading.dives == ()
    (aside,) = reading.set_aside
    assert aside.line == 4
    assert words in str(aside)
    assert all(reason.right for reason in aside.reasons)


def test_a_broken_dive_does_not_spoil_the_others():
    bad = small(BEFORE + AFTER.replace("30.0", "deep"))
    both = bad.replace("</repetitiongroup>", f"<dive>{BEFORE}{AFTER}</dive></repetitiongroup>")
    reading = read(both)
    assert (len(reading.dives), len(reading.set_aside)) == (1, 1)


def test_a_corrected_dive_is_read_again_with_what_it_refers_to():
    broken = FULL.replace("60.4", "deep").replace(" xmlns=", ' xmlns:x="urn:x" xmlns=')
    (aside,) = read(broken).set_aside
    again = reread(aside, aside.text.replace("deep", "60.4"), "log.uddf", None)
    assert again == EXPECTED
    still = reread(aside, aside.text, "log.uddf", None)
    assert still.line == aside.line
    assert "'deep'" in str(still)
    with pytest.raises(InputError):
        reread(aside, "no longer XML", "log.uddf", None)


def test_a_file_that_breaks_off():
    torn = FULL.replace("</dive>", f"</dive>\n<dive>{BEFORE}")
    reading = read(torn)
    assert len(reading.dives) == 1
    assert "breaks off" in str(reading.set_aside[0])
    assert reading.set_aside[0].line == line_of("</repetitiongroup>", torn)


BOMB = """<?xml version="1.0"?>
<!DOCTYPE uddf [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>
<uddf><divesite>&b;</divesite></uddf>"""
OUTSIDE = """<?xml version="1.0"?>
<!DOCTYPE uddf [<!ENTITY a SYSTEM "file:///etc/hostname">]><uddf>&a;</uddf>"""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (BOMB, "bomb"),
        (OUTSIDE, "bomb"),
        ("<!DOCTYPE uddf><uddf/>", "bomb"),
        ("<uddf>" + "<a>" * 5000, "inside one another"),
        ("<?xml version='1.0'?><other/>", "the file is 'other'"),
        ("<?xml version='1.0'?>", "no XML"),
        ("<?xml version='1.0' encoding='klingon'?><uddf/>", "no XML"),
    ],
)
def test_harmful_or_other_files_are_refused(text, words):
    with pytest.raises(InputError, match=words) as caught:
        read(text)
    assert caught.value.right


def test_huge_files_are_refused(monkeypatch):
    monkeypatch.setattr(uddf_parts, "MOST_BYTES", 1000)
    with pytest.raises(InputError, match="too large"):
        read("<uddf>" + " " * 1000 + "</uddf>")


def test_a_file_without_dives():
    reading = read("<uddf version='3.2.0'><profiledata/></uddf>")
    assert reading.dives == ()
    assert reading.notes == ("there is no dive in the file",)


def test_progress_is_told():
    one = f"<dive>{BEFORE}{AFTER}<remark>{'x' * 500}</remark></dive>"
    told = []
    data = f"<uddf>{one * 250}</uddf>".encode()
    reading = read_logbook(data, "x", progress=lambda a, b: told.append((a, b)))
    assert len(reading.dives) == 250
    assert told[-1] == (250, 250)
    assert told[0][1] == 250
    assert len(told) >= 2


def test_what_is_written_is_uddf_and_holds_the_unit_of_the_log():
    dive = LoggedDive(
        on_date=date(2031, 5, 9),
        minutes=45.0,
        greatest=LoggedDepth(100.0, DepthUnit.FEET),
        mixes=(AIR,),
        circuit=Circuit.CLOSED,
        role=Role.INSTRUCTOR,
        partners=("Ana Lund", "Bo"),
        remark="a < b & c",
    )
    root = ElementTree.fromstring(write_uddf([dive]))
    found = root.find("profiledata/repetitiongroup/dive")
    assert found.findtext("informationbeforedive/datetime") == "2031-05-09"
    assert found.findtext("informationafterdive/greatestdepth") == "30.48"
    assert found.findtext("informationafterdive/diveduration") == "2700"
    mix = root.find("gasdefinitions/mix")
    assert (mix.findtext("o2"), mix.findtext("he")) == ("0.21", "0.0")
    assert found.find("tankdata/link").get("ref") == mix.get("id")
    buddies = root.findall("diver/buddy/personal")
    assert [b.findtext("lastname") for b in buddies] == ["Lund", ""]
    assert replace(read(write_uddf([dive])).dives[0], origin=dive.origin) == dive


def test_what_xml_cannot_carry_is_refused():
    dive = LoggedDive(on_date=date(2031, 5, 9), minutes=45.0, greatest=LoggedDepth(30.0))
    with pytest.raises(InputError, match=r"U\+000B") as caught:
        write_uddf([replace(dive, remark="a\x0bb")])
    assert "dive 1" in caught.value.where
