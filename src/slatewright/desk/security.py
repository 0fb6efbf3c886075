"""What stands before every page: whose request it is, how large, and what the answer may do.

- **Host**: a request must name this desk, or a page of a stranger's could reach it by giving its
  own name our address.
- **Origin**: what changes something must come from a page of ours; what a stranger's page may ask
  for is to open a page of ours, and nothing inside it.
- **Size**: a request carries so much and no more.
- **Login**: when others are served, everybody but the login page needs one.
- **Answer**: a content policy without inline script or style, no framing, no guessing of types, no
  word to others about where one was, and nothing kept in caches but styles, scripts and typeface.

Forms carry a token besides; that is `slatewright.desk.visit`.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from typing import Final
from urllib.parse import quote, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from slatewright.desk.assets import PREFIX
from slatewright.desk.problem import API, problem_body
from slatewright.desk.settings import SCHEME, DeskSettings

LOGIN: Final = "/login"
_UPLOAD: Final = re.compile(r"/people/\d+/logbook/files")
"""A logbook of thousands of dives in UDDF has some megabytes."""
SAFE_METHODS: Final = frozenset({"GET", "HEAD", "OPTIONS"})
CONTENT_POLICY: Final = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
_HEADERS: Final = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


class Guard:
    """Stands before the application.

    Parameters
    ----------
    app
        The application.
    settings
        How the desk is run.
    is_logged_in
        Tells whether a request carries a login that holds.
    """

    def __init__(
        self,
        app: ASGIApp,
        settings: DeskSettings,
        is_logged_in: Callable[[Request], Awaitable[bool]],
    ) -> None:
        self._app = app
        self._settings = settings
        self._is_logged_in = is_logged_in

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or let the application answer."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        request = Request(scope)
        guarded = _with_headers(send, keeps=request.url.path.startswith(PREFIX))
        refusal = await self._refusal(request)
        if refusal is not None:
            await refusal(scope, receive, guarded)
            return
        if request.method in SAFE_METHODS:
            await self._app(scope, receive, guarded)
            return
        body = await _body(receive, self._largest_bytes(request))
        if body is None:
            await self._too_large(request)(scope, receive, guarded)
            return
        await self._app(scope, _once(body, receive), guarded)

    async def _refusal(self, request: Request) -> Response | None:
        headers = request.headers
        if headers.get("host", "").lower() not in self._settings.hosts:
            return _no(request, 421, "this desk is not known by that name", self._settings.address)
        if not _comes_from_us(request.method, headers):
            return _no(request, 403, "the request comes from another page", "a page of this desk")
        said = headers.get("content-length", "0")
        if not said.isdecimal():
            return _no(request, 400, "the length of the request is no number", "a number")
        if int(said) > self._largest_bytes(request):
            return self._too_large(request)
        needs_login = self._settings.serving_others and not _is_open(request.url.path)
        if needs_login and not await self._is_logged_in(request):
            return _to_login(request)
        return None

    def _largest_bytes(self, request: Request) -> int:
        settings = self._settings
        uploads = _UPLOAD.fullmatch(request.url.path) is not None
        return settings.largest_file_bytes if uploads else settings.largest_body_bytes

    def _too_large(self, request: Request) -> Response:
        most = self._largest_bytes(request)
        return _no(request, 413, "the request is too large", f"at most {most:,} bytes")


async def _body(receive: Receive, largest_bytes: int) -> bytes | None:
    """Read all that a request carries; None if it is more than it may be, whatever it said."""
    carried = bytearray()
    while True:
        message = await receive()
        carried += message.get("body", b"")
        if len(carried) > largest_bytes:
            return None
        if message["type"] == "http.disconnect" or not message.get("more_body", False):
            return bytes(carried)


def _once(body: bytes, receive: Receive) -> Receive:
    """Return what hands a body on in one piece, and then whatever else comes."""
    handed = False

    async def handing() -> Message:
        nonlocal handed
        if handed:
            return await receive()
        handed = True
        return {"type": "http.request", "body": body, "more_body": False}

    return handing


def local_path(path: str) -> str:
    """Return a path of this desk to go on to, or that of the home page if it leads elsewhere.

    Parameters
    ----------
    path
        What a request asks for.
    """
    parts = urlsplit(path)
    leads_out = parts.scheme or parts.netloc or not path.startswith("/") or path.startswith("//")
    odd = "\\" in path or not path.isprintable()
    return "/" if leads_out or odd else path


def _is_open(path: str) -> bool:
    return path == LOGIN or path.startswith(PREFIX)


def _comes_from_us(method: str, headers: Headers) -> bool:
    """Return whether a request may come from where it comes from.

    Every browser of these days says ``Sec-Fetch-Site`` or ``Origin``; a program that says neither
    is no browser, so no stranger's page can be behind it.
    """
    origin, site = headers.get("origin"), headers.get("sec-fetch-site", "same-origin")
    if method not in SAFE_METHODS:
        own = f"{SCHEME}://{headers.get('host', '').lower()}"
        return origin in {None, own} and site in {"same-origin", "none"}
    opens_page = headers.get("sec-fetch-mode", "navigate") == "navigate"
    framed = headers.get("sec-fetch-dest", "document") not in {"document", "empty"}
    return site in {"same-origin", "none"} or (opens_page and not framed)


def _no(request: Request, status: int, what: str, right: str) -> Response:
    if request.url.path.startswith(API):
        return JSONResponse(problem_body("refused", what, right=right), status)
    return PlainTextResponse(f"{what}\n  right would be: {right}\n", status)


def _to_login(request: Request) -> Response:
    if request.url.path.startswith(API):
        body = problem_body("login-needed", "a login is needed", right=f"log in at {LOGIN}")
        return JSONResponse(body, 401)
    if request.headers.get("hx-request"):
        return Response(status_code=401, headers={"HX-Redirect": LOGIN})
    asked = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    onward = f"?next={quote(asked, safe='')}" if request.method == "GET" and asked != "/" else ""
    return RedirectResponse(f"{LOGIN}{onward}", 303)


def _with_headers(send: Send, *, keeps: bool) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers[name] = value
            if not keeps:
                headers["Cache-Control"] = "no-store"
        await send(message)

    return sending
