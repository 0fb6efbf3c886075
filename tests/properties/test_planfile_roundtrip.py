"""Plan files are written without loss, and any text at all is read or refused, never worse."""

from __future__ import annotations

import difflib
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from slatewright.dive.planfile import PlanFile, parse_plan_file, read_plan_file, write_plan_file
from slatewright.errors import PlanFileError

FEW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
MIXES = ("air", "O2", "EAN32", "EAN50", "21/35", "18/45", "15/55", "12/65", "10/70", "10.5/69.5")
TITLES = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=30)


def numbers(low, high):
    return st.one_of(
        st.integers(-(-low // 1), high // 1).map(float) if high - low >= 1 else st.nothing(),
        st.floats(low, high, allow_nan=False),
    )


def some(**entries):
    """Return tables in which each key may be there or not."""
    return st.fixed_dictionaries({}, optional=entries)


def breathing(units):
    rate, factor = ("l_per_min", 1.0) if units == "metric" else ("cuft_per_min", 1 / 28.0)
    return {
        f"rmv_swimming_{rate}": numbers(10 * factor, 30 * factor),
        f"rmv_resting_{rate}": numbers(8 * factor, 30 * factor),
        f"rmv_stressed_{rate}": numbers(31 * factor, 80 * factor),
    }


def rigs(units):
    mass, volume, factor = ("kg", "l", 1.0) if units == "metric" else ("lb", "cuft", 1 / 30.0)
    return st.fixed_dictionaries(
        {
            f"wing_lift_{mass}": numbers(0, 60),
            "suit": st.sampled_from(["wetsuit", "drysuit"]),
            f"suit_gas_{volume}": numbers(0, 60 * factor),
            f"person_buoyancy_{mass}": numbers(-20, 20),
        },
        optional={f"{name}_{mass}": numbers(0, 20)
                  for name in ("droppable", "fixed_ballast", "second_lift")},
    )  # fmt: skip


@st.composite
def teams(draw, units, mixes):
    """Draw what a team adds to a plan file: breathing, cylinders, sizes, partners, reserves."""
    pressure = "pressure_bar" if units == "metric" else "pressure_psi"
    fill, _ = draw(st.sampled_from([(10, 0), (200, 0)]))
    partners = draw(st.lists(st.sampled_from(["Tove", "Casper", "A b'c"]), max_size=2, unique=True))
    everyone = ["Mirren", *partners]
    sizes = [
        {"name": f"own {i}", "water_volume_l": draw(numbers(1, 40)), "working_bar": 300,
         "material": "steel", "empty_mass_lb": draw(numbers(1, 100)), "external_volume_l": 60}
        for i in range(draw(st.integers(0, 2)))
    ]  # fmt: skip
    cylinders = []
    for mix in mixes:
        if len(everyone) == 1 and draw(st.booleans()):
            who = {}
        else:
            who = {"diver": everyone if len(everyone) > 1 else everyone[0]}
        cylinder = {
            "gas": mix,
            "size": draw(st.sampled_from(["twin 12", *(size["name"] for size in sizes)])),
            pressure: draw(numbers(fill, fill + 20)),
            "label": f"the {mix}",
            **who,
        }
        if draw(st.booleans()):
            cylinder["place"] = draw(st.sampled_from(["back", "left", "right", "stage"]))
        cylinders.append(cylinder)
    fixed = st.fixed_dictionaries(breathing(units))
    data = {
        "diver": {"name": "Mirren", **draw(fixed)},
        "size": sizes,
        "cylinder": cylinders,
        "partner": [
            {"name": name, **draw(fixed), **draw(some(rig=rigs(units)))} for name in partners
        ],
        **draw(some(rig=rigs(units))),
        "reserve": draw(
            some(turn_rule=st.sampled_from(["thirds", "all usable"]), problem_min=numbers(0, 5))
        ),
    }
    return {name: value for name, value in data.items() if value}


@st.composite
def plans(draw, units=None):
    """Draw the contents of a valid plan file."""
    units = units or draw(st.sampled_from(["metric", "imperial"]))
    u, scale = ("m", 1.0) if units == "metric" else ("ft", 3.0)
    depths = draw(st.lists(numbers(10 * scale, 150 * scale), min_size=1, max_size=3))
    levels, left_min = [], 0.0
    for depth in depths:
        level = {f"depth_{u}": depth}
        if draw(st.booleans()):
            level["stay_min"] = draw(numbers(1, 30))
            left_min += 200.0  # more than any way takes at the rates below
        else:
            left_min += draw(numbers(200, 230))
            level["leave_at_min"] = left_min
        levels.append(level)
    mixes = draw(st.lists(st.sampled_from(MIXES), min_size=1, max_size=4, unique=True))
    gases = [{"mix": mixes[0], "use": "bottom"}]
    for mix in mixes[1:]:
        uses = st.sampled_from(["decompression", ["travel", "decompression"], "travel"])
        gas = {"mix": mix, "use": draw(uses)}
        if "decompression" in gas["use"] and draw(st.booleans()):
            gas[f"switch_at_{u}"] = draw(st.sampled_from([2.0, 3.0])) * (3 if u == "m" else 10)
        if draw(st.booleans()):
            gas["ppo2_max_bar"] = draw(numbers(0.5, 1.6))
        gases.append(gas)
    data = {"schema": "slatewright/plan/1", "title": draw(TITLES), "units": units}
    optional = {
        "water": some(kind=st.sampled_from(["fresh", "sea"]), latitude_deg=numbers(-90, 90)),
        "diver": some(**{f"narcotic_limit_{u}": numbers(11 * scale, 50 * scale)}),
        "model": some(
            name=st.sampled_from(["ZH-L16C", "ZH-L16B"]),
            gradient_low_pct=numbers(10, 40),
            gradient_high_pct=numbers(80, 100),
        ),
        "ascent": some(**{f"to_surface_{u}_per_min": numbers(1, 20)}, switch_min=numbers(0, 5)),
        "breaks": some(on_min=st.integers(1, 30), off_min=st.integers(1, 30)),
        "earlier": st.fixed_dictionaries(
            {"plan": TITLES, "surface_interval": st.sampled_from(["3:30", "1 d 2:00"])}
        ),
    }
    names = draw(st.lists(st.sampled_from(sorted(optional)), unique=True))
    data |= {name: draw(optional[name]) for name in names}
    if draw(st.booleans()):
        team = draw(teams(units, mixes))
        data["diver"] = data.get("diver", {}) | team.pop("diver")
        data |= team
    return data | {"gas": gases, "level": levels}


def made(data):
    """Return a plan file, as it comes out of TOML: with lists, not tuples."""
    return PlanFile.model_validate(data)


def parsed(text):
    return parse_plan_file(text, tomllib.loads(text))


def tried(text, raw):
    """Return the plan file and no faults, or no plan file and the faults."""
    try:
        return parse_plan_file(text, raw), ()
    except PlanFileError as error:
        return None, error.faults


@st.composite
def commented(draw, text):
    """Put comments beside and between the lines of a text; return it and the comments."""
    lines, comments = [], []

    def comment():
        comments.append(f"# note {len(comments)}: 'mix' = [\"x\"] ≈ {draw(st.integers(0, 9))}")
        return comments[-1]

    for line in text.splitlines():
        if draw(st.booleans()):
            lines.append(draw(st.sampled_from(["", "  "])) + comment())
        lines.append(f"{line}  {comment()}" if line and draw(st.booleans()) else line)
    if draw(st.booleans()):
        lines.append(comment())
    end = draw(st.sampled_from(["\n", "\r\n"]))
    return end.join(lines) + draw(st.sampled_from(["", end])), comments


@FEW
@given(plans())
def test_written_and_read_again_is_the_same(data):
    plan = made(data)
    text = write_plan_file(plan)
    assert parsed(text) == plan
    assert write_plan_file(parsed(text)) == text


@FEW
@given(st.data())
def test_writing_what_is_there_changes_nothing(data):
    plan = made(data.draw(plans()))
    text, _ = data.draw(commented(write_plan_file(plan)))
    again = write_plan_file(parsed(text), text)
    assert again.rstrip("\r\n") == text.rstrip("\r\n")


def under_headers(text):
    """Return a text with the rigs of partners in tables of their own, as a person may write."""
    lines = []
    for line in text.splitlines():
        if line.startswith("rig = {"):
            table = tomllib.loads(line)["rig"]
            rows = [f"{name} = {value!r}" for name, value in table.items()]
            lines += ["", "[partner.rig]", *rows]
        else:
            lines.append(line)
    return "\n".join(lines) + "\n"


@FEW
@given(st.data())
def test_rigs_of_partners_may_have_headers(data):
    before, after = made(data.draw(plans())), made(data.draw(plans()))
    text = under_headers(write_plan_file(before))
    assert parsed(text) == before
    assert write_plan_file(before, text) == text
    assert parsed(write_plan_file(after, text)) == after


@FEW
@given(st.data())
def test_writing_another_plan_keeps_every_comment(data):
    before = made(data.draw(plans()))
    after = made(data.draw(plans()))
    text, comments = data.draw(commented(write_plan_file(before)))
    changed = write_plan_file(after, text)
    assert parsed(changed) == after
    for comment in comments:
        assert changed.count(comment) == 1, comment


@FEW
@given(st.data())
def test_one_changed_number_changes_one_line(data):
    plan = made(data.draw(plans(units="metric")))
    text, _ = data.draw(commented(write_plan_file(plan)))
    limit = data.draw(numbers(0.5, 1.6).filter(lambda x: x != plan.gas[0].ppo2_max_bar))
    first = plan.gas[0].model_copy(update={"ppo2_max_bar": limit})
    changed = write_plan_file(plan.model_copy(update={"gas": (first, *plan.gas[1:])}), text)
    moves = list(difflib.ndiff(text.splitlines(), changed.splitlines()))
    assert not [move for move in moves if move.startswith("- ")]
    (added,) = [move for move in moves if move.startswith("+ ")]
    assert added.startswith("+ ppo2_max_bar = ")


@settings(FEW, max_examples=60)
@given(st.data())
def test_a_damaged_text_is_read_or_refused_with_a_line(data):
    text, _ = data.draw(commented(write_plan_file(made(data.draw(plans())))))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        cut = data.draw(st.integers(0, 12))
        put = data.draw(
            st.sampled_from(
                [
                    "",
                    "\n",
                    '"',
                    "[",
                    "]",
                    "=",
                    "-",
                    ".",
                    "9",
                    "true",
                    "nan",
                    "{}",
                    "[[gas]]\n",
                    "\x00",
                ]
            )
        )
        text = text[:at] + put + text[at + cut :]
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    plan, faults = tried(text, raw)
    last = text.count("\n") + 1
    assert all(fault.what and 1 <= fault.line <= last for fault in faults)
    if plan:
        assert parsed(write_plan_file(plan, text)) == plan


@FEW
@given(st.binary(max_size=200))
def test_any_bytes_are_refused_in_peace(tmp_path_factory, raw):
    path = tmp_path_factory.mktemp("bytes") / "plan.toml"
    path.write_bytes(raw)
    with pytest.raises(PlanFileError):
        read_plan_file(path)


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["mix", "use", "depth_m", "x"]), inner, max_size=3)
    ),
    max_leaves=8,
)


@FEW
@given(st.dictionaries(st.sampled_from(sorted(PlanFile.model_fields)), values))
def test_any_contents_are_refused_as_input_and_never_crash(data):
    data = {"schema" if name == "schema_" else name: value for name, value in data.items()}
    with pytest.raises(PlanFileError):
        parse_plan_file("", data)
    with pytest.raises(ValidationError):
        PlanFile.model_validate(data)
