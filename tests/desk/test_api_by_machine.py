"""Schemathesis: whatever the description allows, and much that it does not, is answered by it."""

from __future__ import annotations

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance

from slatewright.desk.app import create_app
from slatewright.desk.settings import DeskSettings
from slatewright.store import open_workspace
from slatewright.store.plans import create_plan

from .conftest import NOON
from .test_api import QUARRY

DESCRIBED = create_app(None, DeskSettings()).openapi()  # the description needs no store
OPERATIONS = [
    (method.upper(), path) for path, methods in DESCRIBED["paths"].items() for method in methods
]
TOO_LARGE = 413
HOST = {"Host": "127.0.0.1:8417"}


@pytest.fixture(scope="module")
def described(tmp_path_factory):
    """The interface of a desk with a plan in it, so that the number 1 leads to something."""
    with open_workspace(tmp_path_factory.mktemp("interface") / "workspace", now=NOON) as store:
        with store.write() as session:
            create_plan(session, QUARRY, now=NOON)
        app = create_app(store, DeskSettings())
        yield schemathesis.openapi.from_asgi("/api/openapi.json", app, headers=HOST)


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE], ids=str)
@pytest.mark.parametrize("operation", OPERATIONS, ids=" ".join)
def test_every_answer_is_as_described(described, operation, mode):
    method, path = operation
    strategy = described[path][method].as_strategy(generation_mode=mode)

    @given(case=strategy)
    @settings(
        max_examples=10,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def answered(case):
        answer = case.call(headers=HOST)
        # a text may be any text and still be no plan: that is what the refusal is for
        left_out = [positive_data_acceptance]
        if answer.status_code == TOO_LARGE:
            left_out.append(negative_data_rejection)  # refused, though not for being odd
        case.validate_response(answer, excluded_checks=left_out)

    try:
        answered()
    except Exception as error:
        if type(error).__name__ == "Unsatisfiable":
            pytest.skip(f"{method} {path} takes nothing that could be wrong")
        raise
