"""The document of a dive: the contract's keys and types, and a dive that can be followed."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise

import pytest

from slatewright.decompression.settings import OxygenBreaks
from slatewright.decompression.tissues import air_saturated
from slatewright.dive.document import document
from slatewright.dive.plan import Carried
from slatewright.dive.schedule import schedule
from unit.dive.plans import gas, hypoxic_dive, plan_of

KINDS = {"descent", "bottom", "ascent", "stop", "surface"}


def told(plan):
    """Return the document as one who reads the JSON gets it; numbers that are none are refused."""
    return json.loads(json.dumps(document(schedule(plan)), allow_nan=False))


def test_it_has_the_keys_and_types_of_the_contract():
    found = told(hypoxic_dive())
    assert found["schema"] == "slatewright/dive/1"
    assert found["water"]["surface_bar"] == 1.01325
    assert found["water"]["bar_per_m"] == 0.1
    model = found["model"]
    assert {key: model[key] for key in ("name", "gf_low", "gf_high", "stop_step_m", "last_stop_m",
                                        "air_n2")} == {
        "name": "ZH-L16C", "gf_low": 0.3, "gf_high": 0.8, "stop_step_m": 3.0, "last_stop_m": 6.0,
        "air_n2": 0.7902,
    }  # fmt: skip
    assert isinstance(model["first_stop_m"], float)
    assert isinstance(found["runtime_min"], float)
    assert isinstance(found["oxygen"]["cns_pct"], float)
    assert isinstance(found["oxygen"]["otu"], float)
    assert found["supply"] == []
    assert found["second_check"]["passed"] is True
    for leg in found["legs"]:
        assert leg["kind"] in KINDS
        for key in ("from_m", "to_m", "start_min", "minutes", "o2", "he"):
            assert type(leg[key]) is float, key
        assert leg["setpoint_bar"] is None
    assert found["hazards"]
    for hazard in found["hazards"]:
        assert isinstance(hazard["code"], str)
        assert hazard["severity"] in {"note", "warning", "danger"}
        assert type(hazard["at_min"]) is float
        assert type(hazard["at_m"]) is float
        assert hazard["text"]
        assert hazard["why"]
        assert hazard["cure"]


def test_its_legs_are_contiguous_in_time_and_depth():
    legs = told(hypoxic_dive(ascent={"breaks": OxygenBreaks(12, 6)}))["legs"]
    assert (legs[0]["from_m"], legs[0]["start_min"], legs[-1]["to_m"]) == (0.0, 0.0, 0.0)
    for before, after in pairwise(legs):
        assert after["start_min"] == pytest.approx(before["start_min"] + before["minutes"])
        assert after["from_m"] == before["to_m"]
    assert any(leg["break"] for leg in legs)
    assert any(leg["changing_gas"] for leg in legs)


def test_the_start_is_told_only_if_something_is_carried_in():
    plan = hypoxic_dive()
    assert "start_tensions_bar" not in told(plan)
    full = air_saturated(1.01325)
    start = told(replace(plan, carried=Carried(full, cns_pct=10.0)))["start_tensions_bar"]
    assert start == {"n2": list(full.n2_bar), "he": list(full.he_bar)}


def test_it_speaks_metres_whatever_the_plan_speaks():
    found = told(hypoxic_dive(imperial=True))
    assert found["units"] == "imperial"
    assert found["model"]["stop_step_m"] == pytest.approx(3.048)
    assert max(leg["to_m"] for leg in found["legs"]) == 90.0


def test_what_lies_beyond_the_tables_is_null():
    plan = plan_of([gas("18/45", "bottom"), gas("O2", "decompression", 21.0, 3.1)], [(50.0, 20.0)])
    assert told(plan)["oxygen"]["cns_pct"] is None


def test_a_dive_without_stops_has_no_first_stop():
    found = told(plan_of([gas("EAN32", "bottom")], [(15.0, 10.0)]))
    assert found["model"]["first_stop_m"] is None


def test_every_house_rule_in_force_is_in_it():
    plan = hypoxic_dive()
    assert told(plan)["house_rules"] == plan.rules.model_dump()
