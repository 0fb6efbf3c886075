"""People over the programming interface: the list, and readiness by its schema."""

from __future__ import annotations

import json
from datetime import date
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator

from slatewright.desk.app import create_app
from slatewright.desk.settings import DeskSettings
from slatewright.logs.logged import LoggedDepth, LoggedDive
from slatewright.store.logbooks import keep_logbook
from slatewright.store.people import Particulars, add_person
from slatewright.store.standards import create_standard

from .conftest import NOON


@pytest.fixture
def person(store):
    dives = [
        LoggedDive(
            on_date=date(2031, 3, day),
            minutes=45.0,
            greatest=LoggedDepth(45.0),
            partners=("Mirren",),
        )
        for day in (1, 5, 9)
    ]
    with store.write() as session:
        person = add_person(session, Particulars("Tove Sandreed"), now=NOON)
        keep_logbook(session, person.id, "tove.csv", "0", dives, [], now=NOON)
    return person.id


def described():
    operation = create_app(None, DeskSettings()).openapi()["paths"]
    answers = operation["/api/people/{person_id}/readiness"]["get"]["responses"]
    return answers["200"]["content"]["application/json"]["schema"]


def test_readiness_is_as_both_schemas_say(desk, person):
    told = desk.get(f"/api/people/{person}/readiness").json()
    shipped = json.loads(
        files("slatewright.data").joinpath("readiness-1.schema.json").read_text("utf-8")
    )
    Draft202012Validator(shipped).validate(told)
    Draft202012Validator.check_schema(described())
    Draft202012Validator(described()).validate(told)
    assert told["today"] == "2031-05-04"
    assert [one["id"] for one in told["standards"]] == ["usual-minimum", "stricter"]


def test_who_teaches_is_said_by_who_asks(desk, person):
    def with_instructor(**asked):
        told = desk.get(f"/api/people/{person}/readiness", params=asked).json()
        rules = told["standards"][1]["rules"]
        return next(rule["count"] for rule in rules if rule["id"] == "with-the-instructor")

    assert with_instructor() == 0
    assert with_instructor(instructor="Mirren") == 3  # all three go to 45 m, within 6 months


def test_the_list(desk, person):
    told = desk.get("/api/people").json()
    assert told == {"people": [{"id": person, "name": "Tove Sandreed"}]}


def test_nobody(desk):
    assert desk.get("/api/people/99/readiness").status_code == 404


def test_a_standard_with_faults_is_told(desk, store, person):
    with store.write() as session:
        create_standard(session, 'schema = "slatewright/standard/1"\n', now=NOON)
    refused = desk.get(f"/api/people/{person}/readiness")
    assert refused.status_code == 422
    assert "has faults" in refused.json()["faults"][0]["what"]
