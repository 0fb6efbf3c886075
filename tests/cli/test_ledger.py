"""``slatewright ledger``, as a person and as a script meet it."""

from __future__ import annotations

import json
import shutil
from decimal import Decimal
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator
from pypdf import PdfReader

from .conftest import EXAMPLES

QUOTE = EXAMPLES / "ledger" / "quote.toml"
WAYS = EXAMPLES / "ledger" / "ways.toml"
WIDTH = 84


def test_a_quote_on_the_screen(run):
    said = run("ledger", QUOTE)
    assert said.exit_code == 0
    assert "PAID BY THE STUDENTS TOGETHER" in said.stdout
    assert "gas of instructors and assistants" in said.stdout
    assert "holds until" in said.stdout
    assert all(len(line) <= WIDTH for line in said.stdout.splitlines())


def test_a_quote_as_json_adds_up(run):
    told = json.loads(run("ledger", QUOTE, "--json").stdout)
    assert told["schema"] == "slatewright/quoted/1"
    total = Decimal(told["total"])
    assert sum(Decimal(line["total"]) for line in told["lines"]) == total
    assert sum(map(Decimal, told["per_student"])) + Decimal(told["paid_by"]["the school"]) == total


def test_a_comparison_on_the_screen(run):
    said = run("ledger", WAYS, "--futures", "500")
    assert said.exit_code == 0
    assert "never pays for itself within 5 years" in said.stdout
    assert "not worth its money" in said.stdout
    assert "BESIDES MONEY" in said.stdout
    assert all(len(line) <= WIDTH for line in said.stdout.splitlines())


def test_a_comparison_as_json(run):
    told = json.loads(run("ledger", WAYS, "--json", "--futures", "200").stdout)
    assert told["schema"] == "slatewright/compared/1"
    assert told["futures"]["count"] == 200
    assert told["break_even"] == {"month": None, "dives": None}
    months = told["months"]["open circuit"]
    assert [month["month"] for month in months] == list(range(61))


@pytest.mark.parametrize("futures", ["0", "-5", "many"])
def test_no_number_of_futures_is_refused(run, futures):
    said = run("ledger", WAYS, "--futures", futures)
    assert said.exit_code == 2
    assert not said.stdout


def test_another_file_is_refused(run):
    said = run("ledger", EXAMPLES / "build-up-week" / "1-the-shelf.toml")
    assert said.exit_code == 2
    assert "neither a quote nor a comparison" in said.stderr


def test_a_plan_without_cylinders_is_refused(run, tmp_path):
    shutil.copytree(EXAMPLES, tmp_path / "examples")
    plan = tmp_path / "examples" / "build-up-week" / "1-the-shelf.toml"
    text = plan.read_text()
    start = text.index("[[cylinder]]")
    plan.write_text(text[:start] + text[text.index("[[level]]") :])
    (tmp_path / "examples" / "ledger" / "one.toml").write_text(
        'schema = "slatewright/quote/1"\ntitle = "x"\nrates = "rates.toml"\nstudents = 1\n'
        'teaching_days = 1\n[[dive]]\nplan = "../build-up-week/1-the-shelf.toml"\n'
    )
    said = run("ledger", tmp_path / "examples" / "ledger" / "one.toml")
    assert said.exit_code in {2, 3}
    assert "cylinder" in said.stderr


def test_what_if(run):
    plain, dear, more = (
        json.loads(run("ledger", QUOTE, "--json", *words).stdout)
        for words in ((), ("--helium", "2"), ("--students", "3"))
    )
    assert Decimal(plain["total"]) < Decimal(dear["total"])
    assert len(more["per_student"]) == 3
    assert Decimal(more["per_student"][0]) < Decimal(plain["per_student"][0])


@pytest.mark.parametrize(
    ("file", "words"),
    [
        (QUOTE, ("--helium", "dear")),
        (QUOTE, ("--helium", "-1")),
        (WAYS, ("--students", "3")),
        (WAYS, ("--pdf", "out.pdf")),
    ],
)
def test_what_cannot_be_asked_is_refused(run, file, words):
    said = run("ledger", file, *words)
    assert said.exit_code == 2
    assert "right would be" in said.stderr


def test_a_quote_is_printed(run, tmp_path):
    assert run("ledger", QUOTE, "--pdf", tmp_path / "quote.pdf").exit_code == 0
    text = PdfReader(tmp_path / "quote.pdf").pages[0].extract_text()
    assert "A week at the Stair" in text
    assert "6,958.00 EUR" in text


@pytest.mark.parametrize(
    ("file", "schema"), [(QUOTE, "quoted-1"), (WAYS, "compared-1")], ids=["quote", "ways"]
)
def test_the_documents_are_as_described(run, file, schema):
    described = json.loads((files("slatewright.data") / f"{schema}.schema.json").read_text("utf-8"))
    told = json.loads(run("ledger", file, "--json", "--futures", "100").stdout)
    Draft202012Validator.check_schema(described)
    Draft202012Validator(described).validate(told)
