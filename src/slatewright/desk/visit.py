"""One request, as a page sees it: the store, the clock, the cookies, and how to answer."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated, Final, Literal, cast

from fastapi import Depends, HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from slatewright.desk.security import SAFE_METHODS
from slatewright.dive.house_rules import HouseRules, house_rules_of
from slatewright.store.settings import HOUSE_RULES, get_setting

if TYPE_CHECKING:
    from slatewright.desk.frame import Page
    from slatewright.desk.rendering import Desk
    from slatewright.store.database import Store

TOKEN_FIELD: Final = "token"  # noqa: S105 - the name of a field
TOKEN_HEADER: Final = "X-Desk-Token"  # noqa: S105 - the name of a header
_LOOKS: Final = ("system", "light", "dark")

Look = Literal["system", "light", "dark"]


class Visit:
    """One request.

    Parameters
    ----------
    request
        The request.
    """

    def __init__(self, request: Request) -> None:
        self.request = request
        self.desk = cast("Desk", request.app.state.desk)
        seen = request.cookies.get(self._cookie("visit"), "")
        self._visit = seen if len(seen) == _VISIT_LETTERS else secrets.token_urlsafe(_VISIT_BYTES)
        self._is_new = seen != self._visit

    @property
    def store(self) -> Store:
        """The store."""
        return self.desk.store

    @property
    def now(self) -> datetime:
        """The moment."""
        return self.desk.settings.now()

    @property
    def today(self) -> date:
        """The day, here."""
        return self.desk.settings.today()

    @property
    def is_fragment(self) -> bool:
        """Whether a part of the page at hand is asked for, and no whole page."""
        headers = self.request.headers
        return headers.get("hx-request") == "true" and headers.get("hx-request-type") != "full"

    @property
    def look(self) -> Look:
        """Light, dark, or as the system has it."""
        look = self.request.cookies.get(self._cookie("look"), "system")
        return cast("Look", look) if look in _LOOKS else "system"

    @property
    def room(self) -> str:
        """The room for charts that the browser had when it last looked [px]; empty if unknown."""
        return self.request.cookies.get(self._cookie("room"), "")

    @property
    def login(self) -> str:
        """The token of the login that the browser shows; empty if it shows none."""
        return self.request.cookies.get(self._cookie("login"), "")

    @property
    def token(self) -> str:
        """What a form of ours carries, so that it is known to be one.

        It is made from a cookie that no script can read, and no other site can send.
        """
        return hmac.new(self._visit.encode(), self.login.encode(), hashlib.sha256).hexdigest()

    def house_rules(self) -> HouseRules:
        """Return the house rules of this workspace.

        Raises
        ------
        PlanFileError
            If what is kept has faults: no rule is guessed.
        """
        with self.store.read() as session:
            kept = get_setting(session, HOUSE_RULES)
        return HouseRules() if kept is None else house_rules_of(kept.value)

    def show(
        self, page: Page, context: object, *, fragment: str = "", status: int = 200
    ) -> Response:
        """Answer with a page, or with that part of it that was asked for.

        Parameters
        ----------
        page
            The page.
        context
            Its frozen context, of the kind that the page says.
        fragment
            The template of the part, which the page's own template includes; empty if the page
            has no parts.
        status
            The HTTP status; 422 for a form with errors, so that it is shown.
        """
        html = self.desk.render(self, page, context, fragment=fragment if self.is_fragment else "")
        return self._answered(HTMLResponse(html, status))

    def go(self, path: str) -> Response:
        """Answer by sending the browser on, after something was changed.

        Parameters
        ----------
        path
            A path of this desk.
        """
        if self.is_fragment:
            return self._answered(Response(status_code=200, headers={"HX-Redirect": path}))
        return self._answered(RedirectResponse(path, 303))

    def set_cookie(self, response: Response, name: str, value: str, seconds: int) -> None:
        """Give the browser a cookie that no script reads and no other site sends.

        Parameters
        ----------
        response
            The answer that carries it.
        name
            Its name; the port is added, so that two desks do not take each other's.
        value
            Its value; empty to take it back.
        seconds
            How long it is kept.
        """
        response.set_cookie(
            self._cookie(name),
            value,
            max_age=seconds if value else 0,
            path="/",
            httponly=True,
            samesite="strict",
        )

    async def check_token(self) -> None:
        """Refuse a form that does not carry our token.

        Raises
        ------
        HTTPException
            403.
        """
        given = self.request.headers.get(TOKEN_HEADER)
        if given is None:
            field = (await self.request.form()).get(TOKEN_FIELD)
            given = field if isinstance(field, str) else ""
        if self._is_new or not hmac.compare_digest(given.encode(), self.token.encode()):
            raise HTTPException(403, "this form is out of date: load the page anew and try again")

    def _answered(self, response: Response) -> Response:
        if self._is_new:
            self.set_cookie(response, "visit", self._visit, _YEAR_S)
        return response

    def _cookie(self, name: str) -> str:
        return f"slatewright-{self.desk.settings.port}-{name}"


_VISIT_BYTES: Final = 32
_VISIT_LETTERS: Final = 43
"""Letters of a token of that many bytes."""
_YEAR_S: Final = 365 * 86400


async def _visit(request: Request) -> Visit:
    visit = Visit(request)
    if request.method not in SAFE_METHODS:
        await visit.check_token()
    return visit


OnVisit = Annotated[Visit, Depends(_visit)]
"""What a route of a page asks for; a form without our token does not reach the route."""
