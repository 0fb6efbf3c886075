"""The password, where others are served: in, and out again."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault
from slatewright.desk.security import LOGIN, local_path
from slatewright.desk.visit import OnVisit, Visit
from slatewright.store.logins import (
    LONGEST_PASSWORD,
    get_password_hash,
    log_in,
    log_out,
    password_is,
)

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Login:
    """The form of the password.

    Parameters
    ----------
    next
        The path to go on to.
    faults
        Why the last try failed.
    """

    next: str
    faults: tuple[Fault, ...] = ()


PAGE: Final = Page("login", "Log in", "login.html", Login)
PAGES: Final = (PAGE,)


@router.get(LOGIN)
def login_form(visit: OnVisit, next: str = "/") -> Response:  # noqa: A002 - the name in the address
    """Ask for the password.

    Parameters
    ----------
    visit
        The request.
    next
        The path to go on to.
    """
    if not visit.desk.settings.serving_others:
        return visit.go("/")
    return visit.show(PAGE, Login(local_path(next)))


@router.post(LOGIN)
def login(
    visit: OnVisit,
    password: Annotated[str, Form(max_length=LONGEST_PASSWORD)],
    next: Annotated[str, Form()] = "/",  # noqa: A002 - the name of the field
) -> Response:
    """Check the password, and let the browser in.

    Parameters
    ----------
    visit
        The request.
    password
        What was typed.
    next
        The path to go on to.
    """
    desk, onward = visit.desk, local_path(next)
    client = visit.request.client.host if visit.request.client else ""
    wait_s = desk.logins.begin(client)
    if wait_s > 0.0:
        seconds = math.ceil(wait_s)
        fault = Fault(
            "too many tries", right=f"wait {seconds} seconds, then type the password with care"
        )
        response = visit.show(PAGE, Login(onward, (fault,)), status=429)
        response.headers["Retry-After"] = str(seconds)
        return response
    with desk.store.read() as session:
        kept = get_password_hash(session)
    if kept is None or not password_is(password, kept):
        fault = Fault("that is not the password", right="the one that this desk was started with")
        return visit.show(PAGE, Login(onward, (fault,)), status=422)
    desk.logins.succeeded(client)
    lasts = desk.settings.login_lasts
    with desk.store.write() as session:
        token = log_in(session, now=visit.now, lasts=lasts)
    return _let_in(visit, onward, token, int(lasts.total_seconds()))


@router.post("/logout")
def logout(visit: OnVisit) -> Response:
    """End the login.

    Parameters
    ----------
    visit
        The request.
    """
    if visit.login:
        with visit.store.write() as session:
            log_out(session, visit.login)
    return _let_in(visit, LOGIN, "", 0)


def _let_in(visit: Visit, onward: str, token: str, seconds: int) -> Response:
    response = visit.go(onward)
    visit.set_cookie(response, "login", token, seconds)
    return response
