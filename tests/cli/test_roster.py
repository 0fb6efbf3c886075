"""``slatewright roster`` and ``ready``, as a person and as a script meet them."""

from __future__ import annotations

import json
import shutil
from datetime import date, timedelta
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator
from pypdf import PdfReader

from slatewright.logs.csv_out import write_csv
from slatewright.logs.logged import LoggedDepth, LoggedDive
from slatewright.physics.mixture import Mixture

from .conftest import EXAMPLES

TOVE = EXAMPLES / "roster" / "tove.toml"
CASPER = EXAMPLES / "roster" / "casper.toml"
ON = ("--on", "2031-05-04")
WIDTH = 84
HEAD = 'schema = "slatewright/candidate/1"\n'


def schema(name):
    return json.loads(
        files("slatewright.data").joinpath(f"{name}-1.schema.json").read_text("utf-8")
    )


@pytest.fixture
def folder(tmp_path):
    return shutil.copytree(EXAMPLES / "roster", tmp_path / "roster")


def test_a_roster_on_the_screen(run):
    said = run("roster", TOVE, CASPER, *ON)
    assert said.exit_code == 0
    # 28 February 1998 to 4 May 2031; 29 February 2004 likewise
    assert "Tove Sandreed           33" in said.stdout
    assert "Casper Lindqvale        27" in said.stdout
    assert "150 ft" in said.stdout
    assert "tove.csv, line 42" in said.stdout
    assert "no unit of depth" in said.stdout
    assert "line 97 and tove.csv, line 140: the same, counted once" in said.stdout
    assert all(len(line) <= WIDTH for line in said.stdout.splitlines())


def test_a_roster_as_json_follows_its_schema(run):
    told = json.loads(run("roster", TOVE, CASPER, *ON, "--json").stdout)
    Draft202012Validator.check_schema(schema("roster"))
    Draft202012Validator(schema("roster")).validate(told)
    tove = told["people"][0]
    rows = (EXAMPLES / "roster" / "tove.csv").read_text().splitlines()[1:]
    # by hand: two rows have a slip of the pen, one dive stands twice
    assert tove["dives"] == len(rows) - 3
    assert [row["line"] for row in tove["set_aside"]] == [42, 78]
    assert tove["helium_dives"] == sum("18/45" in row for row in rows)
    assert told["people"][1]["deepest"] == {"depth": 150.0, "unit": "ft"}


def test_dives_after_the_day_are_not_counted(run):
    told = json.loads(run("roster", CASPER, "--on", "2031-03-14", "--json").stdout)
    assert told["people"][0]["dives"] == 62  # the last of 63 is of the 15th


def test_what_nobody_has_said_is_asked_and_answered(run, folder):
    file = folder / "tove.toml"
    text = file.read_text()
    file.write_text(text.replace('depths = "m"\n', ""))
    said = run("roster", file, *ON)
    assert said.exit_code == 2
    assert "in which unit" in said.stderr
    assert '--depths m, or depths = "m"' in said.stderr
    answered = json.loads(run("roster", file, *ON, "--depths", "ft", "--json").stdout)
    assert answered["people"][0]["deepest"] == {"depth": 52.0, "unit": "ft"}
    file.write_text(text.replace('duration = "Time"\n', ""))
    assert run("roster", file, *ON, "--column", "duration=Time").exit_code == 0


@pytest.mark.parametrize(
    "words",
    [
        ("--depths", "yards"),
        ("--dates", "dmy"),
        ("--durations", "days"),
        ("--column", "depth"),
        ("--column", "wind=Max"),
        ("--on", "May"),
    ],
)
def test_no_answer_is_refused(run, words):
    said = run("roster", TOVE, *words)
    assert said.exit_code == 2
    assert words[0] in said.stderr
    assert not said.stdout


def test_people_are_kept_once(run, tmp_path):
    into = tmp_path / "workspace"
    for _ in range(2):
        assert run("roster", TOVE, CASPER, *ON, "--into", into).exit_code == 0
    told = json.loads(run("roster", into, *ON, "--json").stdout)["people"]
    assert [(one["name"], one["dives"]) for one in told] == [
        ("Casper Lindqvale", 63),
        ("Tove Sandreed", 136),
    ]
    assert [row["line"] for row in told[1]["set_aside"]] == [42, 78]
    said = run("ready", into, "--name", "casper lindqvale", *ON)
    assert said.exit_code == 3
    assert "waived by Mirren" in said.stdout


def test_a_longer_logbook_adds_only_what_is_new(run, folder, tmp_path):
    into = tmp_path / "workspace"
    run("roster", folder / "tove.toml", *ON, "--into", into)
    with (folder / "tove.csv").open("a") as book:
        book.write('140;02.05.2031;10:00;1:10;44;"18/45; EAN50";yes;Mirren;twinset;Sallow Head;\n')
    run("roster", folder / "tove.toml", *ON, "--into", into)
    (tove,) = json.loads(run("roster", into, *ON, "--json").stdout)["people"]
    assert tove["dives"] == 137


def test_somebody_else_of_that_name_is_not_guessed(run, folder, tmp_path):
    into = tmp_path / "workspace"
    run("roster", folder / "tove.toml", *ON, "--into", into)
    file = folder / "tove.toml"
    file.write_text(file.read_text().replace("born_on = 1998-02-28", "born_on = 1999-02-28"))
    said = run("roster", file, *ON, "--into", into)
    assert said.exit_code == 2
    assert "not clear whether it is the same" in said.stderr


def test_a_folder_that_is_no_workspace_stays_as_it_is(run, tmp_path):
    said = run("roster", tmp_path)
    assert said.exit_code == 2
    assert "no workspace" in said.stderr
    assert not (tmp_path / "backups").exists()


def test_readiness_on_the_screen(run):
    said = run("ready", TOVE, *ON)
    assert said.exit_code == 3
    assert "HYPOXIC TRIMIX  ready" in said.stdout
    assert "2 rules" not in said.stdout
    assert "stricter, experience: 136 of 260" in said.stderr
    assert "of no agency" in said.stdout
    assert "Rows set aside, not counted: 2" in said.stdout
    assert all(len(line) <= WIDTH for line in said.stdout.splitlines())


def test_readiness_as_json_follows_its_schema(run):
    said = run("ready", CASPER, *ON, "--json")
    assert said.exit_code == 3
    told = json.loads(said.stdout)
    Draft202012Validator(schema("readiness")).validate(told)
    assert [one["id"] for one in told["standards"]] == ["usual-minimum", "stricter"]


def test_the_letter(run, tmp_path):
    pdf = tmp_path / "letter.pdf"
    said = run("ready", TOVE, *ON, "--pdf", pdf, "--from", "Mirren")
    assert said.exit_code == 3
    assert "The letter is in" in said.stdout
    words = "".join(page.extract_text() for page in PdfReader(pdf).pages)
    assert "Tove Sandreed" in words
    assert "Mirren" in words
    refused = run("ready", TOVE, *ON, "--pdf", tmp_path / "letter.txt")
    assert refused.exit_code == 2


def simple(tmp_path, *, dives, head=""):
    """A candidate with a logbook of our own columns, and a standard that asks for 25 to 30 m."""
    (tmp_path / "log.csv").write_text(write_csv(dives), encoding="utf-8")
    candidate = tmp_path / "wren.toml"
    candidate.write_text(f'{HEAD}name = "Wren"\nlogbook = "log.csv"\n{head}', encoding="utf-8")
    standard = tmp_path / "mine.toml"
    standard.write_text(
        'schema = "slatewright/standard/1"\nid = "mine"\ntitle = "Mine"\n[[rule]]\nid = "deep"\n'
        'says = "25 dives to 30 m"\ndives = 25\nfrom_m = 30\nfrom_ft = 100\n',
        encoding="utf-8",
    )
    return candidate, standard


def deep(count, depth=30.0):
    return [
        LoggedDive(
            on_date=date(2030, 6, 1) + timedelta(days=3 * day),
            minutes=45,
            greatest=LoggedDepth(depth),
            mixes=(Mixture(0.21, 0.0),),
        )
        for day in range(count)
    ]


# 25 dives at 30 m or deeper: common practice, no published source
@pytest.mark.parametrize(
    ("dives", "code"),
    [(deep(25), 0), (deep(24), 3), (deep(25, 29.9), 3)],
    ids=["enough", "one short", "too shallow"],
)
def test_ready_by_all_is_zero(run, tmp_path, dives, code):
    candidate, standard = simple(tmp_path, dives=dives)
    said = run("ready", candidate, "--standard", standard, *ON)
    assert said.exit_code == code
    assert bool(said.stderr) == bool(code)


def test_what_stands_twice_counts_once(run, tmp_path):
    candidate, standard = simple(tmp_path, dives=[*deep(24), deep(24)[-1]])
    once = run("ready", candidate, "--standard", standard, *ON)
    assert once.exit_code == 3
    assert "told of twice, counted once: 1" in once.stdout
    both = run("ready", candidate, "--standard", standard, *ON, "--count-both")
    assert both.exit_code == 0
    assert "counted twice as asked: 1" in both.stdout


@pytest.mark.parametrize(
    ("source", "words", "told"),
    [
        (TOVE, ("--name", "Tove"), "one person"),
        (EXAMPLES / "roster" / "tove.csv", (), "tove.csv"),
        (EXAMPLES / "no-such.toml", (), "no such file"),
        (TOVE, ("--standard", CASPER), "schema"),
    ],
)
def test_what_cannot_be_judged_is_refused(run, source, words, told):
    said = run("ready", source, *words, *ON)
    assert said.exit_code == 2
    assert told in said.stderr
    assert not said.stdout


def test_nobody_of_that_name(run, tmp_path):
    into = tmp_path / "workspace"
    run("roster", CASPER, *ON, "--into", into)
    said = run("ready", into, "--name", "Jory", *ON)
    assert said.exit_code == 2
    assert "Casper Lindqvale" in said.stderr
    assert run("ready", into, *ON).exit_code == 2
