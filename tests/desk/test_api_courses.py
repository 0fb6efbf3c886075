"""Courses over the programming interface: kept, saved against a version, built up, ordered."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator

from .test_courses import TEXT, swapped


@pytest.fixture
def course(desk):
    made = desk.post("/api/courses", json={"text": TEXT})
    assert made.status_code == 201
    return made.json()


def test_courses_are_kept_and_listed(desk, course):
    assert course["title"] == "A week on the Stair"
    assert course["text"] == TEXT
    (entry,) = desk.get("/api/courses").json()["courses"]
    assert (entry["id"], entry["status"], entry["version"]) == (course["id"], "planned", 1)
    assert "text" not in entry
    assert desk.get(f"/api/courses/{course['id']}").json() == course


def test_a_later_save_is_told(desk, course):
    path = f"/api/courses/{course['id']}"
    saved = desk.put(path, json={"version": 1, "text": TEXT + "\n# one\n"})
    assert saved.json()["version"] == 2
    late = desk.put(path, json={"version": 1, "text": TEXT + "\n# two\n"})
    assert late.status_code == 409
    assert late.json()["stored"]["text"].endswith("# one\n")


def test_a_build_up_is_as_its_schema_says(desk, course):
    told = desk.get(f"/api/courses/{course['id']}/build-up").json()
    schema = files("slatewright.data").joinpath("build-up-1.schema.json").read_text("utf-8")
    Draft202012Validator(json.loads(schema)).validate(told)
    assert told["clean"]
    assert len(told["dives"]) == 6
    assert {one["mix"] for one in told["gas"]} >= {"18/45", "10/70"}


def test_an_order_is_proposed_and_nothing_written(desk):
    made = desk.post("/api/courses", json={"text": swapped()}).json()
    told = desk.get(f"/api/courses/{made['id']}/order").json()
    assert told["findings_after"] == 0 < told["findings_before"]
    assert told["least"]
    assert {move["dive"] for move in told["moves"]} == {1, 5}
    assert desk.get(f"/api/courses/{made['id']}").json()["version"] == 1


def test_faults_are_told_with_their_lines(desk):
    made = desk.post("/api/courses", json={"text": TEXT.replace("step_m = 12", "step_m = -12")})
    refused = desk.get(f"/api/courses/{made.json()['id']}/build-up")
    assert refused.status_code == 422
    assert refused.json()["faults"][0]["line"] == 9
    assert desk.get("/api/courses/77/build-up").status_code == 404
