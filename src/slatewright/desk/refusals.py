"""What a browser or a program is told when something is refused, missing or broken."""

from __future__ import annotations

import logging
from typing import Any, Final

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from slatewright.desk.frame import Page
from slatewright.desk.problem import API, Fault, Problem, problem_of
from slatewright.desk.visit import Visit
from slatewright.errors import SlatewrightError

PAGE: Final = Page("refusal", "Refused", "refusal.html", Problem)
_PART: Final = "_refusal.html"
_LOG: Final = logging.getLogger("slatewright.desk")
_KINDS: Final = {401: "login-needed", 404: "not-found"}
_WORDS: Final = {
    404: ("there is no such page", "one of those that the navigation leads to"),
    405: ("this cannot be done here", "the page that has the button"),
}


def add_refusals(app: FastAPI) -> None:
    """Let an application answer every error in our words.

    Parameters
    ----------
    app
        The application.
    """

    @app.exception_handler(SlatewrightError)
    def _ours(request: Request, error: SlatewrightError) -> Response:
        return _answer(request, problem_of(error))

    @app.exception_handler(RequestValidationError)
    def _shape(request: Request, error: RequestValidationError) -> Response:
        faults = tuple(_fault(detail) for detail in error.errors())
        return _answer(request, Problem("bad-input", 422, faults))

    @app.exception_handler(HTTPException)
    def _http(request: Request, error: HTTPException) -> Response:
        what, right = _WORDS.get(error.status_code, (error.detail, ""))
        kind = _KINDS.get(error.status_code, "refused")
        problem = Problem(kind, error.status_code, (Fault(what, right=right),))
        return _answer(request, problem, headers=error.headers)

    @app.exception_handler(Exception)
    def _broken(request: Request, error: Exception) -> Response:
        _LOG.error("a request failed: %s", request.url.path, exc_info=error)
        fault = Fault(
            "something in the desk is broken; nothing was saved by this request",
            right="load the page anew; if it happens again, report what you did",
        )
        return _answer(request, Problem("broken", 500, (fault,)))


def _answer(request: Request, problem: Problem, headers: Any = None) -> Response:  # noqa: ANN401 - as the library has them
    if request.url.path.startswith(API):
        return JSONResponse(problem.body(), problem.status, headers=headers)
    response = Visit(request).show(PAGE, problem, fragment=_PART, status=problem.status)
    response.headers.update(headers or {})
    return response


def _fault(detail: dict[str, Any]) -> Fault:
    where = ".".join(str(part) for part in detail["loc"] if part not in {"body", "query", "path"})
    return Fault(str(detail["msg"]).lower(), where)
