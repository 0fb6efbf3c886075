"""For programs: the operations of the interface, read out of its own description."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from fastapi import APIRouter, FastAPI
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.visit import OnVisit

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation.

    Parameters
    ----------
    method
        ``GET``, ``PUT`` ...
    path
        Its path, with the names of what is put in.
    what
        What it does, a sentence.
    asks
        Names of what it may be given in its address.
    answers
        Its statuses and what each says.
    """

    method: str
    path: str
    what: str
    asks: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Programs:
    """The programming interface.

    Parameters
    ----------
    description
        The path of its description (OpenAPI).
    version
        The version of that standard.
    operations
        All operations.
    """

    description: str
    version: str
    operations: tuple[Operation, ...]


PAGE: Final = Page("programs", "For programs", "programs.html", Programs, path="/programs")
PAGES: Final = (PAGE,)


@router.get("/programs")
def programs(visit: OnVisit) -> Response:
    """Show the operations.

    Parameters
    ----------
    visit
        The request.
    """
    app: FastAPI = visit.request.app
    told = app.openapi()
    context = Programs(str(app.openapi_url), told["openapi"], tuple(_operations(told["paths"])))
    return visit.show(PAGE, context)


def _operations(paths: dict[str, dict[str, Any]]) -> Iterator[Operation]:
    for path, methods in paths.items():
        for method, told in methods.items():
            yield Operation(
                method=method.upper(),
                path=path,
                what=told.get("description", told["summary"]),
                asks=tuple(p["name"] for p in told.get("parameters", ()) if p["in"] == "query"),
                answers=tuple(
                    (status, answer["description"])
                    for status, answer in told["responses"].items()
                    if status in _TOLD
                ),
            )


_TOLD: Final = {"200", "201", "204", "404", "409", "422"}
