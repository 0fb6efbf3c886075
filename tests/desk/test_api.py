"""The programming interface: the pages' operations as JSON, and the same refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from slatewright.store.plans import get_plan, list_plans

ROOT = Path(__file__).parents[2]
QUARRY = (ROOT / "examples/imperial/quarry-200ft.toml").read_text("utf-8")
SHELF = (ROOT / "examples/build-up-week/1-the-shelf.toml").read_text("utf-8")
SADDLE = (ROOT / "examples/build-up-week/2-the-saddle.toml").read_text("utf-8")
SCHEMA = json.loads((ROOT / "src/slatewright/data/dive-1.schema.json").read_text("utf-8"))


def kept(desk, text=QUARRY, **more):
    answer = desk.post("/api/plans", json={"text": text, **more})
    assert answer.status_code == 201, answer.text
    return answer.json()


def test_a_plan_is_kept_read_listed_and_copied(desk):
    plan = kept(desk)
    assert (plan["title"], plan["units"], plan["version"]) == (
        "Hobb's Quarry, 200 ft",
        "imperial",
        1,
    )
    assert desk.get(f"/api/plans/{plan['id']}").json() == plan
    assert plan["text"] == QUARRY
    copy = desk.post(f"/api/plans/{plan['id']}/copy").json()
    listed = desk.get("/api/plans").json()["plans"]
    assert [entry["id"] for entry in listed] == [copy["id"], plan["id"]]
    assert "text" not in listed[0]


def test_two_windows_on_one_plan_the_later_save_is_told(desk, store):
    plan = kept(desk)
    path = f"/api/plans/{plan['id']}"
    mine = {"version": 1, "text": QUARRY + "# mine\n"}
    theirs = {"version": 1, "text": QUARRY + "# theirs\n"}
    assert desk.put(path, json=mine).json()["version"] == 2
    answer = desk.put(path, json=theirs)
    assert answer.status_code == 409
    problem = answer.json()
    assert problem["kind"] == "stale"
    assert problem["stored"] == {"version": 2, "text": mine["text"]}
    with store.read() as session:
        assert get_plan(session, plan["id"]).text == mine["text"]
    assert desk.delete(f"{path}?version=1").status_code == 409


def test_a_plan_goes_to_the_trash_and_back_and_for_good(desk):
    plan = kept(desk)
    gone = desk.delete(f"/api/plans/{plan['id']}?version=1").json()
    assert gone["trashed_at"]
    assert desk.get("/api/plans").json()["plans"] == []
    assert len(desk.get("/api/plans?trashed=true").json()["plans"]) == 1
    back = desk.post(f"/api/trash/{plan['id']}/back").json()
    assert back["trashed_at"] is None
    assert desk.delete(f"/api/trash/{plan['id']}").status_code == 422
    desk.delete(f"/api/plans/{plan['id']}?version={back['version']}")
    assert desk.delete(f"/api/trash/{plan['id']}").status_code == 204
    assert desk.get(f"/api/plans/{plan['id']}").status_code == 404


def test_a_dive_is_the_document_that_the_command_prints(desk):
    plan = kept(desk)
    document = desk.get(f"/api/plans/{plan['id']}/dive").json()
    Draft202012Validator(SCHEMA).validate(document)
    assert document["title"] == plan["title"]
    assert document["second_check"]["passed"]
    assert desk.post("/api/dive", json={"text": QUARRY}).json() == document


def test_the_gas_of_a_dive_comes_when_asked_for(desk):
    whole = desk.post("/api/dive?gas=true", json={"text": QUARRY}).json()
    Draft202012Validator(SCHEMA).validate(whole)
    assert len(whole["supply"]) == 6
    assert whole["way_home"]["failures"]


def test_a_chain_is_computed_with_what_the_dives_before_left(desk):
    first = kept(desk, SHELF)
    alone = desk.post("/api/dive", json={"text": SADDLE})
    assert alone.status_code == 422
    assert "none is chosen" in alone.json()["faults"][0]["what"]
    second = kept(desk, SADDLE, earlier_plan_id=first["id"])
    document = desk.get(f"/api/plans/{second['id']}/dive").json()
    # saturated at sea level: 0.7902 of (1.01325 - 0.0627) bar
    assert max(document["start_tensions_bar"]["n2"]) > 0.7512
    freed = desk.put(
        f"/api/plans/{second['id']}/earlier", json={"version": 1, "earlier_plan_id": None}
    ).json()
    assert freed["earlier_plan_id"] is None
    assert desk.get(f"/api/plans/{second['id']}/dive").status_code == 422


def test_a_dive_before_it_without_an_interval_is_refused_and_not_forgotten(desk):
    first = kept(desk, SHELF)
    second = kept(desk, QUARRY, earlier_plan_id=first["id"])
    problem = desk.get(f"/api/plans/{second['id']}/dive").json()
    assert "surface interval" in problem["faults"][0]["what"]


def test_a_fault_in_a_dive_before_bears_its_name(desk):
    first = kept(desk, SHELF.replace('mix = "18/45"', 'mix = "18/99"'))
    second = kept(desk, SADDLE, earlier_plan_id=first["id"])
    problem = desk.get(f"/api/plans/{second['id']}/dive").json()
    assert "the earlier dive 'The shelf, 45 m' has" in problem["faults"][0]["what"]


def test_faults_come_with_their_lines_all_at_once(desk):
    text = QUARRY.replace('units = "imperial"', 'units = "imperial"\ncolour = "blue"')
    text = text.replace("depth_ft = 200", "depth_ft = 2000")
    answer = desk.post("/api/check", json={"text": text})
    assert answer.status_code == 422
    faults = answer.json()["faults"]
    lines = text.splitlines()
    assert len(faults) >= 2
    for fault in faults:
        key = fault["where"].rpartition(".")[2]
        assert key in lines[fault["line"] - 1]
        assert fault["right"]
    assert desk.post("/api/check", json={"text": QUARRY}).json()["deepest_m"] == pytest.approx(
        60.96
    )


def test_text_that_is_no_toml_is_told_where(desk):
    (fault,) = desk.post("/api/check", json={"text": 'title = "x"\nunits ='}).json()["faults"]
    assert fault["line"] == 2
    deep = desk.post("/api/check", json={"text": "a = " + "[" * 20_000})
    assert deep.status_code == 422


def test_a_fault_of_a_cylinder_has_its_line_too(desk):
    text = QUARRY.replace("pressure_psi = ", "pressure_psi = 9", 1)
    answer = desk.post("/api/dive", json={"text": text})
    (fault, *_) = answer.json()["faults"]
    assert "9" in text.splitlines()[fault["line"] - 1]


def test_no_safe_answer_comes_with_reasons_and_cures(desk):
    text = QUARRY.replace('mix = "18/45"', 'mix = "10/45"')
    answer = desk.post("/api/dive", json={"text": text.replace('gas = "18/45"', 'gas = "10/45"')})
    problem = answer.json()
    assert (answer.status_code, problem["kind"]) == (422, "no-safe-answer")
    assert problem["faults"][0]["right"]


@pytest.mark.parametrize(
    ("method", "path", "body", "status"),
    [
        ("GET", "/api/plans/0", None, 422),
        ("GET", "/api/plans/99", None, 404),
        ("GET", "/api/plans/99999999999999999999", None, 422),
        ("GET", "/api/nothing", None, 404),
        ("PATCH", "/api/plans/1", {}, 405),
        ("POST", "/api/plans", {}, 422),
        ("POST", "/api/plans", {"text": 3}, 422),
        ("POST", "/api/plans", {"text": "x", "more": 1}, 422),
        ("POST", "/api/plans", {"text": "\x00"}, 422),
        ("POST", "/api/plans", {"text": "x", "earlier_plan_id": 99}, 404),
        ("PUT", "/api/plans/99", {"version": 1, "text": ""}, 404),
    ],
)
def test_every_refusal_has_one_shape(desk, store, method, path, body, status):
    answer = desk.request(method, path, json=body)
    assert answer.status_code == status
    problem = answer.json()
    assert set(problem) == {"kind", "faults", "stored"}
    assert all(set(fault) == {"what", "where", "line", "right"} for fault in problem["faults"])
    assert problem["faults"]
    with store.read() as session:
        assert not list_plans(session)


def test_formulas_explain_themselves(desk):
    listed = desk.get("/api/formulas").json()["formulas"]
    assert len(listed) > 20
    assert desk.get("/api/formulas/operating-depth").json()["formula"] in listed
    values = {"o2": 0.32, "limit_bar": 1.4, "surface_bar": 1.01325, "bar_per_m": 0.1}
    worked = desk.post("/api/formulas/operating-depth/working", json={"values": values}).json()
    assert worked["result"] == pytest.approx(33.6175)
    assert worked["steps"][-1]["inner"][0]["formula"] == "depth-at-pressure"
    assert desk.get("/api/formulas/nothing").status_code == 404


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "no number for o2"),
        (
            {"o2": 0.3, "limit_bar": 1.4, "surface_bar": 1, "bar_per_m": 0.1, "x": 1},
            "no symbol 'x'",
        ),
        ({"o2": 0.3, "limit_bar": 99, "surface_bar": 1, "bar_per_m": 0.1}, "outside the range"),
        ({"o2": "much"}, "number"),
    ],
)
def test_a_working_of_wrong_numbers_is_refused(desk, values, words):
    answer = desk.post("/api/formulas/operating-depth/working", json={"values": values})
    assert answer.status_code == 422
    assert words in answer.json()["faults"][0]["what"]


def test_the_description_is_served_and_read_out_on_a_page_of_our_own(desk):
    told = desk.get("/api/openapi.json").json()
    page = desk.get("/programs").text
    assert told["openapi"].startswith("3.")
    assert all(path.startswith("/api/") for path in told["paths"])
    assert all(path.replace("{", "&#123;") in page or path in page for path in told["paths"])
    for path in ("/docs", "/redoc"):
        assert desk.get(path).status_code == 404
