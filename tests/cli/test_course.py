"""``slatewright course``, as a person and as a script meet it."""

from __future__ import annotations

import json
from decimal import Decimal
from importlib.resources import files

import pytest
from icalendar import Calendar
from jsonschema import Draft202012Validator
from openpyxl import load_workbook

from .conftest import EXAMPLES

WEEK = EXAMPLES / "stair-week" / "course.toml"
WIDTH = 80


@pytest.fixture
def changed(tmp_path):
    """Write the week beside its plans, with something changed."""

    def write(old, new):
        text = WEEK.read_text("utf-8").replace("../build-up-week", str(EXAMPLES / "build-up-week"))
        assert old in text
        path = tmp_path / "course.toml"
        path.write_text(text.replace(old, new), "utf-8")
        return path

    return write


def test_a_course_on_the_screen(run):
    said = run("course", WEEK)
    assert said.exit_code == 0, said.stderr
    for words in ("within its limits", "The wall, 96 m", "FLYING", "2031-05-13", "GAS", "10/70"):
        assert words in said.stdout
    assert all(len(line) <= WIDTH for line in said.stdout.splitlines())


def test_a_course_beyond_its_limits_says_what_cures_it(run, changed):
    said = run("course", changed("students_per_instructor = 2", "students_per_instructor = 1"))
    assert said.exit_code == 3
    assert "findings against it" in said.stdout
    assert "cure" in said.stderr


def test_a_lost_gas_that_is_really_needed_is_refused(run, changed):
    said = run("course", changed('["travel-switch"]', '["lost-deco-gas"]'))
    assert said.exit_code == 3
    assert "skill loss, dive 4" in said.stdout
    assert "decompression gas whose loss would be simulated" in " ".join(said.stderr.split())


def test_the_gas_is_priced_and_the_oxygen_of_the_days_told(run):
    prices = EXAMPLES / "fill-room" / "prices.toml"
    said = run("course", WEEK, "--prices", prices)
    assert said.exit_code == 0
    assert "EUR of gas goes into them" in said.stdout
    told = " ".join(said.stdout.split())
    assert "2031-05-11 139 of 380 in the run 541 of 2520 all" in told
    assert all(len(line) <= WIDTH for line in said.stdout.splitlines())
    told = json.loads(run("course", WEEK, "--prices", prices, "--json").stdout)
    assert told["cost"]["currency"] == "EUR"
    lines = sum(Decimal(line["cost"]) for line in told["cost"]["lines"])
    assert lines == Decimal(told["cost"]["fills"])
    missing = run("course", WEEK, "--prices", "nowhere.toml")
    assert missing.exit_code == 2


def test_the_document_is_as_described(run):
    told = json.loads(run("course", WEEK, "--json").stdout)
    described = json.loads((files("slatewright.data") / "build-up-1.schema.json").read_text())
    Draft202012Validator.check_schema(described)
    Draft202012Validator(described).validate(told)
    assert [dive["title"][:8] for dive in told["dives"]][-1] == "The wall"
    assert told["clean"]


def test_dates_and_tables_are_written(run, tmp_path):
    dates, tables = tmp_path / "week.ics", tmp_path / "week.xlsx"
    said = run("course", WEEK, "--calendar", dates, "--tables", tables)
    assert said.exit_code == 0
    events = [
        part for part in Calendar.from_ical(dates.read_bytes()).walk() if part.name == "VEVENT"
    ]
    assert len(events) == 6 + 1 + 1  # dives, the day of rest, the day kept for bad weather
    book = load_workbook(tables)
    assert book.sheetnames == ["Build-up", "Gas totals"]
    assert book["Build-up"].max_row >= 7
    again = tmp_path / "again.ics"
    run("course", WEEK, "--calendar", again)
    assert again.read_bytes() == dates.read_bytes()


def test_a_dive_on_a_closed_circuit_is_built_up_like_any_other(run, changed):
    loop = EXAMPLES / "closed-circuit" / "1-the-terrace.toml"
    path = changed("1-the-shelf.toml", "1-the-shelf.toml")
    text = path.read_text("utf-8").replace(
        str(EXAMPLES / "build-up-week/5-the-gallery.toml"), str(loop)
    )
    path.write_text(text.replace('["back-to-travel-gas"]', '["travel-switch"]'), "utf-8")
    said = run("course", path, "--json", "--prices", EXAMPLES / "fill-room" / "prices.toml")
    told = json.loads(said.stdout)
    assert [
        one["code"] for one in told["findings"] if one["dive"] == 5 and "skill" in one["code"]
    ] == ["skill-loop"]
    assert told["cost"] is not None
    assert not [note for note in told["gas_notes"] if "not counted" in note]


def test_a_proposal_is_looked_for(run):
    assert "as good as it stands" in run("course", WEEK, "--propose").stdout


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("step_m = 12", "step_m = -12", "out of range"),
        ("1-the-shelf.toml", "9-nowhere.toml", "there is no plan"),
        ("on = 2031-05-05", "on = 2031-05-32", "line"),
    ],
)
def test_faults_are_told(run, changed, old, new, said):
    done = run("course", changed(old, new))
    assert done.exit_code == 2
    assert said in done.stderr
