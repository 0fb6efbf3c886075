"""``slatewright dive FILE --json``: one document, by its schema, and true by an own computation."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from itertools import pairwise

import jsonschema
import pytest
from typer.testing import CliRunner

from slatewright import cautions
from slatewright.cli.app import app

from .conftest import EXAMPLES
from .recomputed import Dive, Gas

PLANS = sorted(
    plan for plan in EXAMPLES.rglob("*.toml") if 'schema = "slatewright/plan/1"' in plan.read_text()
)
OPEN = [plan for plan in PLANS if plan.parent.name != "closed-circuit"]
"""Those on open circuit, whose gas is counted by breathing."""
FIRST_DIVES = [plan for plan in PLANS if "[earlier]" not in plan.read_text(encoding="utf-8")]
SCHEMA = json.loads(files("slatewright.data").joinpath("dive-1.schema.json").read_text("utf-8"))
WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
LINE_BAR = 1e-6
"""What rounding of leg times in the document may cost against the line [bar]."""


@cache
def document(plan):
    done = CliRunner().invoke(app, ["dive", str(plan), "--json"])
    assert done.exit_code == 0, done.stderr
    return json.loads(done.stdout)


def names(plan):
    return plan.stem


def test_the_schema_itself_is_sound():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("plan", PLANS, ids=names)
def test_the_document_follows_its_schema(plan):
    jsonschema.Draft202012Validator(SCHEMA).validate(document(plan))


def test_a_document_that_lacks_something_does_not_follow_the_schema():
    whole = document(FIRST_DIVES[0])
    validator = jsonschema.Draft202012Validator(SCHEMA)
    for key in whole:
        part = {name: value for name, value in whole.items() if name != key}
        assert not validator.is_valid(part), key
    assert not validator.is_valid(whole | {"unknown": 1})


@pytest.mark.parametrize("plan", PLANS, ids=names)
def test_legs_join_in_time_and_depth(plan):
    told = document(plan)
    legs = told["legs"]
    for one, other in pairwise(legs):
        assert other["from_m"] == pytest.approx(one["to_m"], abs=1e-9)
        assert other["start_min"] == pytest.approx(one["start_min"] + one["minutes"], abs=1e-9)
    assert legs[0]["from_m"] == 0.0
    assert legs[0]["start_min"] == 0.0
    assert legs[-1]["to_m"] == 0.0
    assert told["runtime_min"] == pytest.approx(sum(leg["minutes"] for leg in legs), abs=1e-6)


@pytest.mark.parametrize("plan", PLANS, ids=names)
def test_no_level_is_reached_over_the_line(plan):
    dive = Dive(document(plan))
    arrivals = [(leg, held) for leg, held in dive.rising() if leg["kind"] == "ascent"]
    assert arrivals
    for leg, held in arrivals:
        assert dive.excess_bar(held, leg["to_m"]) <= LINE_BAR, leg


@pytest.mark.parametrize("plan", PLANS, ids=names)
def test_the_line_is_come_near_to(plan):
    """A schedule far below the line would be safe, and wrong: some arrival is within 0.1 bar."""
    dive = Dive(document(plan))
    excess = [dive.excess_bar(h, leg["to_m"]) for leg, h in dive.rising() if leg["to_m"] == 0.0]
    assert max(excess) > -0.1


@pytest.mark.parametrize("plan", PLANS, ids=names)
def test_stops_end_on_whole_minutes_of_run_time_on_levels(plan):
    told = document(plan)
    step_m = told["model"]["stop_step_m"]
    stops = [leg for leg, _ in Dive(told).rising() if leg["kind"] == "stop"]
    for leg, following in zip(stops, [*stops[1:], None], strict=True):
        levels = leg["from_m"] / step_m
        assert levels == pytest.approx(round(levels), abs=1e-6)
        leaves = following is None or following["from_m"] != leg["from_m"]
        if leaves:
            end = leg["start_min"] + leg["minutes"]
            assert end == pytest.approx(round(end), abs=1e-6)


@pytest.mark.parametrize("plan", PLANS, ids=names)
def test_what_is_breathed_is_breathable(plan):
    told = document(plan)
    rules, dive = told["house_rules"], Dive(told)
    rising = [leg for leg, _ in dive.rising()]
    highest = 0.0
    for leg in told["legs"]:
        limit = rules["ppo2_stop_max_bar" if leg in rising else "ppo2_bottom_max_bar"]
        for ppo2 in dive.ppo2_bar(leg):
            highest = max(highest, ppo2)
            assert ppo2 >= rules["floor_bar"] - 1e-9, leg
            assert ppo2 <= limit + rules["ppo2_tolerance_bar"] + 1e-9, leg
    assert told["oxygen"]["highest_ppo2_bar"] == pytest.approx(highest, abs=1e-9)


@pytest.mark.parametrize("plan", FIRST_DIVES, ids=names)
def test_oxygen_by_thin_slices(plan):
    """To 0.2 %: slices of 1/200 min against integrals over straight lines."""
    told = document(plan)
    cns, otu = Dive(told).oxygen()
    assert told["oxygen"]["cns_pct"] == pytest.approx(cns, rel=0.002)
    assert told["oxygen"]["otu"] == pytest.approx(otu, rel=0.002)


@pytest.mark.parametrize("plan", OPEN, ids=names)
def test_what_leaves_the_cylinders_is_what_is_breathed(plan):
    """To 1e-6: each gas of each diver, from legs, RMV, pressure and temperature alone."""
    told = document(plan)
    gas = Gas(told)
    assert len({c["diver"] for c in told["supply"]}) == len(told["divers"])
    for diver in told["divers"]:
        own = [c for c in told["supply"] if c["diver"] == diver["name"]]
        breathed = gas.breathed_mol(diver)
        assert set(breathed) <= {c["gas"] for c in own}
        inflation_l = sum(c["inflation_l"] for c in own)
        assert inflation_l == pytest.approx(told["reserves"]["rules"]["inflation_l"], rel=1e-6)
        for mix, mol in breathed.items():
            held = [c for c in own if c["gas"] == mix]
            free_l = mol * held[0]["free_l_per_mol"]
            used_l = sum(c["used_l"] - c["inflation_l"] for c in held)
            assert used_l == pytest.approx(free_l, rel=1e-6), (diver["name"], mix)


@pytest.mark.parametrize("plan", OPEN, ids=names)
def test_cylinders_hold_what_was_filled_less_what_was_used(plan):
    for cylinder in document(plan)["supply"]:
        left_l = cylinder["readings"][-1]["free_l"]
        assert cylinder["contents_l"] - cylinder["used_l"] == pytest.approx(left_l, rel=1e-6)
        assert cylinder["used_l"] == pytest.approx(
            cylinder["used_mol"] * cylinder["free_l_per_mol"], rel=1e-12
        )
        assert [r["at_min"] for r in cylinder["readings"]] == sorted(
            r["at_min"] for r in cylinder["readings"]
        )


def test_a_free_litre_and_the_contents_by_another_model():
    """CoolProp's mixture model, 'computed': a mole to 1e-4 (10/70: 3e-5), a full one to 0.5 %."""
    from CoolProp.CoolProp import PropsSI  # noqa: PLC0415 - takes seconds

    told = document(WALL)
    seen = {}
    for cylinder in told["supply"]:
        seen.setdefault((cylinder["gas"], cylinder["size"]), cylinder)
    fractions = {leg["gas"]: (leg["o2"], leg["he"]) for leg in told["legs"]}
    for (mix, _), cylinder in seen.items():
        o2, he = fractions[mix]
        parts = {"Oxygen": o2, "Helium": he, "Nitrogen": 1.0 - o2 - he}
        name = "HEOS::" + "&".join(f"{n}[{x:.12g}]" for n, x in parts.items() if x > 1e-12)

        def mol_per_l(bar, kelvin, name=name):
            return PropsSI("Dmolar", "T", kelvin, "P|gas", bar * 1e5, name) / 1000.0

        assert cylinder["free_l_per_mol"] == pytest.approx(1 / mol_per_l(1.01325, 293.15), rel=1e-4)
        full_bar = cylinder["start_bar"] + told["water"]["surface_bar"]
        held_mol = cylinder["water_volume_l"] * mol_per_l(full_bar, cylinder["fill_temperature_k"])
        contents_mol = cylinder["contents_l"] / cylinder["free_l_per_mol"]
        assert contents_mol == pytest.approx(held_mol, rel=0.005), mix


def test_a_plan_without_cylinders_says_that_its_gas_was_not_judged(run, plan_file):
    told = json.loads(run("dive", plan_file(), "--json").stdout)
    assert told["not_judged"] == cautions.NO_CYLINDERS
    assert told["supply"] == []
    validator = jsonschema.Draft202012Validator(SCHEMA)
    validator.validate(told)
    assert not validator.is_valid({key: told[key] for key in told if key != "not_judged"})


def test_a_repetitive_dive_says_what_it_starts_with():
    """Without it nobody could compute the dive again."""
    for plan in PLANS:
        carried = plan not in FIRST_DIVES
        assert ("start_tensions_bar" in document(plan)) is carried


def test_hazards_name_rules_that_the_document_gives():
    for plan in PLANS:
        told = document(plan)
        for hazard in told["hazards"]:
            assert set(hazard["house_rules"]) <= set(told["house_rules"])


def test_standard_output_holds_the_document_and_nothing_else(start, tmp_path):
    done = start("dive", FIRST_DIVES[0], "--json", "--chart", "chart.svg")
    assert json.loads(done.stdout)["schema"] == "slatewright/dive/1"
    assert done.stderr == "The profile is in chart.svg.\n"
    assert (tmp_path / "chart.svg").is_file()


@pytest.mark.parametrize("plan", FIRST_DIVES, ids=names)
def test_interpreted_and_compiled_kernel_print_the_same_document(start, plan):
    told = [
        start("dive", plan, "--json", env={"NUMBA_DISABLE_JIT": disabled}).stdout
        for disabled in ("1", "0")
    ]
    assert told[0] == told[1]
    assert json.loads(told[0]) == document(plan)
