"""The documents of ``fill``, ``analyse``, ``wayhome`` and ``mixups``, each by its schema."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files

import jsonschema
import pytest
from typer.testing import CliRunner

from slatewright.cli.app import app

from .conftest import EXAMPLES

FILLS = sorted(p for p in EXAMPLES.glob("fill-room/*.toml") if p.stem != "prices")
PLANS = sorted(p for p in EXAMPLES.rglob("*.toml") if '"slatewright/plan/1"' in p.read_text())
WALL_FILLS = EXAMPLES / "fill-room" / "the-wall.toml"
WALL_ANALYSED = EXAMPLES / "fill-room" / "the-wall-analysed.toml"
WEEK = EXAMPLES / "fill-room" / "the-week.toml"
WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"
COMMANDS = {"filled": "fill", "analysed": "analyse", "wayhome": "wayhome", "mixups": "mixups"}
CASES = [
    *(("filled", path) for path in FILLS),
    ("analysed", WALL_ANALYSED),
    *(("wayhome", path) for path in PLANS),
    *(("mixups", path) for path in PLANS if path.parent.name != "closed-circuit"),
]
RICHEST = {"filled": WEEK, "analysed": WALL_ANALYSED, "wayhome": QUARRY, "mixups": WALL}
REFUSED = 3


@cache
def schema(name):
    return json.loads(
        files("slatewright.data").joinpath(f"{name}-1.schema.json").read_text("utf-8")
    )


@cache
def document(name, path):
    done = CliRunner().invoke(app, [COMMANDS[name], str(path), "--json"])
    assert done.exit_code in {0, REFUSED}, done.stderr
    return json.loads(done.stdout)


def follows(name, told):
    jsonschema.Draft202012Validator(schema(name)).validate(told)


def parts(found):
    yield found
    inner = found.values() if isinstance(found, dict) else found if isinstance(found, list) else ()
    for part in inner:
        yield from parts(part)


@pytest.mark.parametrize("name", COMMANDS)
def test_the_schema_is_sound_and_closed(name):
    jsonschema.Draft202012Validator.check_schema(schema(name))
    assert schema(name)["$id"] == f"slatewright/{name}/1"
    tables = [part for part in parts(schema(name)) if isinstance(part, dict)]
    for table in tables:
        if table.get("type") == "object":
            assert table["additionalProperties"] is False
    used = {part["$ref"].rpartition("/")[2] for part in tables if "$ref" in part}
    assert used == set(schema(name)["$defs"])


@pytest.mark.parametrize(("name", "path"), CASES, ids=lambda case: getattr(case, "stem", case))
def test_the_document_follows_its_schema(name, path):
    follows(name, document(name, path))


@pytest.mark.parametrize("name", COMMANDS)
def test_a_document_that_lacks_something_or_has_more_does_not(name):
    whole = document(name, RICHEST[name])
    validator = jsonschema.Draft202012Validator(schema(name))
    for key in whole:
        part = {other: value for other, value in whole.items() if other != key}
        assert not validator.is_valid(part), key
    assert not validator.is_valid(whole | {"unknown": 1})


def test_what_the_examples_do_not_show_follows_too(tmp_path):
    text = WALL_ANALYSED.read_text("utf-8").replace("../build-up-week", str(WALL.parent))
    text = text.replace('prices = "prices.toml"\n', "")
    odd = tmp_path / "odd.toml"
    unread = text.replace("he_percent = 68.9\n", "")  # helium not analysed: nothing follows
    odd.write_text(unread.replace('name = "oxygen"\ngas = "O2"', 'name = "oxygen"\ngas = "EAN40"'))
    told = document("analysed", odd)
    follows("analysed", told)
    by_name = {one["cylinder"]: one for one in told["cylinders"]}
    assert "o2_off" not in by_name["Mirren back"]
    assert by_name["Tove 50"]["fix"] is None
    assert by_name["Tove 50"]["fix_refused"]


def test_a_leftover_follows_too(tmp_path):
    text = WALL_FILLS.read_text("utf-8").replace('prices = "prices.toml"\n', "")
    last = text.rindex("[[fill]]", 0, text.rindex("[[fill]]"))  # Casper back is filled no more
    end = text.rindex("[[fill]]")
    left = tmp_path / "left.toml"
    left.write_text(text[:last] + text[end:])
    told = document("filled", left)
    follows("filled", told)
    (one,) = told["leftovers"]
    assert one["he_lowest"] < one["he_highest"]
    assert one["uses"]


def test_a_dive_without_a_way_home_follows_too(tmp_path):
    text = QUARRY.read_text("utf-8")
    short = tmp_path / "short.toml"
    short.write_text(text.replace("pressure_psi = 3400", "pressure_psi = 1900"))
    assert short.read_text() != text, "the example has other pressures now"
    told = document("wayhome", short)
    follows("wayhome", told)
    assert not told["has_way_home"]
    assert any(row["cures"] for row in told["failures"])
