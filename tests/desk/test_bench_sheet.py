"""The sheet: a text becomes fields, fields the same text, faults stand beside their field."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.datastructures import FormData

from slatewright.desk.bench.sheet import field_name, sheet_of
from slatewright.desk.bench.work import mend_of, work_of_form, work_of_text
from slatewright.dive.plan_text import read_plan_text
from slatewright.errors import InputError

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXTS = {
    path.stem: path.read_text("utf-8")
    for path in sorted(
        [*(EXAMPLES / "build-up-week").glob("*.toml"), *(EXAMPLES / "imperial").glob("*.toml")]
    )
}
WALL = TEXTS["6-the-wall"]


def fields(text, **differing):
    """Return what a browser sends for the sheet of a text."""
    sent = []
    for part in sheet_of(work_of_text(text).data).parts:
        if part.group.many:
            sent.append(("rows", part.group.table))
            for row in part.rows:
                sent.append((f"{row.name}.was", row.was))
                sent += [(field.name, field.value) for field in row.fields]
                inner = row.inner.fields if row.inner else ()
                sent += [(field.name, field.value) for field in inner]
        else:
            sent += [(field.name, field.value) for field in part.fields]
    names = {name for name, _ in sent}
    assert set(differing) <= names
    return FormData([(name, differing.get(name, value)) for name, value in sent])


@pytest.mark.parametrize("name", TEXTS)
def test_a_sheet_that_is_not_changed_makes_the_same_text_to_the_letter(name):
    assert work_of_form(fields(TEXTS[name]), TEXTS[name], "").text == TEXTS[name]


def test_a_changed_field_changes_its_line_and_no_other():
    work = work_of_form(fields(WALL, **{"level.0.depth_m": "94"}), WALL, "")
    assert not work.faults
    before, after = WALL.splitlines(), work.text.splitlines()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert changed == [("depth_m = 96", "depth_m = 94")]


def test_an_emptied_field_takes_its_key_out():
    work = work_of_form(fields(WALL, **{"gas.1.travel_to_m": ""}), WALL, "")
    assert "travel_to_m" not in work.text
    none = {"breaks.on_min": "", "breaks.off_min": "", "breaks.gas": ""}
    assert "[breaks]" not in work_of_form(fields(WALL, **none), WALL, "").text


def test_what_the_sheet_does_not_show_stays():
    back = 'gas = "10/70"\nsize = "twin 18"'
    text = WALL.replace(back, f'label = "my back"\n{back}')
    assert text != WALL
    work = work_of_form(fields(text, **{"cylinder.1.pressure_bar": "200"}), text, "")
    assert 'label = "my back"' in work.text
    assert read_plan_text(work.text).cylinder[1].pressure_bar == 200


def test_rows_are_added_and_taken_out():
    more = work_of_form(fields(WALL), WALL, "add:level")
    assert more.text == WALL  # a new stay in which nothing is typed says nothing
    assert len(more.data["level"]) == 2
    begun = [*fields(WALL).multi_items(), ("level.1.was", ""), ("level.1.depth_m", "90")]
    faults = work_of_form(FormData(begun), WALL, "").faults
    assert {fault.where.partition(".")[0] for fault in faults} == {"level[2]"}
    done = work_of_form(FormData([*begun, ("level.1.leave_at_min", "20")]), WALL, "")
    assert [level.depth_m for level in read_plan_text(done.text).level] == [96, 90]
    less = work_of_form(fields(WALL), WALL, "drop:cylinder:1")
    kept = [row.gas for row in read_plan_text(WALL).cylinder]
    assert [row.gas for row in read_plan_text(less.text).cylinder] == [*kept[:1], *kept[2:]]
    assert work_of_form(fields(WALL), WALL, "add:nothing").text == WALL
    assert work_of_form(fields(WALL), WALL, "drop:gas:99").text == WALL


@pytest.mark.parametrize(
    ("name", "typed", "what"),
    [
        ("level.0.depth_m", "6o", "is not a number"),
        ("level.0.depth_m", "9,6", "is not a number"),
        ("level.0.depth_m", "400", "out of range"),
        ("level.0.depth_m", "nan", "is not a number"),
        ("level.0.depth_m", "1e2", "is not a number"),
        ("gas.1.mix", "21/95", "is no mixture"),
        ("gas.0.mix", "", "is missing"),
        ("cylinder.0.pressure_bar", "-5", "out of range"),
        ("model.gradient_low_pct", "90", ""),
        ("cylinder.2.diver", "Nobody", "not of the team"),
        ("title", "", "is missing"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(name, typed, what):
    work = work_of_form(fields(WALL, **{name: typed}), WALL, "")
    assert not work.text
    sheet = sheet_of(work.data, work.faults)
    every = [field for part in sheet.parts for field in part.fields]
    every += [field for part in sheet.parts for row in part.rows for field in row.fields]
    (field,) = [field for field in every if field.name == name]
    if what:
        assert any(what in fault.what for fault in field.faults), work.faults
    assert field.value == typed
    marked = [field.name for field in every if field.faults]
    assert marked, work.faults


def test_cylinders_and_breaks_follow_a_gas_whose_mixture_is_changed():
    work = work_of_form(fields(WALL, **{"gas.1.mix": "23/35"}), WALL, "")
    plan = read_plan_text(work.text)
    assert [row.gas for row in plan.cylinder] == ["10/70", "10/70", "23/35", "EAN50", "O2"]
    assert plan.breaks.gas == "23/35"


def test_the_place_of_a_fault_is_the_name_of_a_field():
    assert field_name("gas[2].mix") == "gas.1.mix"
    assert field_name("diver.name") == "diver.name"
    assert field_name("cylinder[1].diver[2]") == "cylinder.0.diver"
    assert field_name("level[3]") == "level.2"
    assert field_name("") == ""


NO_CURES = ["", "[]", "{}", "[1,2]", '["x",[[[],1]]]', '["x",[[[{}],1]]]', "x" * 30_000]


@pytest.mark.parametrize("written", NO_CURES)
def test_what_is_no_cure_is_refused(written):
    with pytest.raises(InputError, match="no cure"):
        mend_of(written)
