"""The application: pages, programming interface and files behind one guard."""

from __future__ import annotations

import threading
from typing import Any

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.types import Receive, Scope, Send

from slatewright import __version__
from slatewright.desk.assets import PREFIX, serve_asset
from slatewright.desk.frame import page_modules
from slatewright.desk.limiter import Limiter
from slatewright.desk.problem import API
from slatewright.desk.refusals import add_refusals
from slatewright.desk.rendering import Desk
from slatewright.desk.security import Guard
from slatewright.desk.settings import DeskSettings
from slatewright.desk.visit import Visit
from slatewright.store.database import Store
from slatewright.store.logins import is_logged_in


class DeskApp(FastAPI):
    """The application with its guard outside everything, even outside what answers a crash."""

    guard: Guard
    has_interface: bool

    def __init__(self, **settings: Any) -> None:  # noqa: ANN401 - FastAPI's own
        super().__init__(**settings)
        self._adding = threading.Lock()
        self.has_interface = False

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the guard answer first."""
        await self.guard(scope, receive, send)

    def openapi(self) -> dict[str, Any]:
        """Return the description of the programming interface."""
        self.add_interface()
        return super().openapi()

    def add_interface(self) -> None:
        """Add the programming interface, which the first page need not wait for; once."""
        with self._adding:
            if self.has_interface:
                return
            from slatewright.desk.api import (  # noqa: PLC0415 - start-up is budgeted
                courses,
                fill,
                formulas,
                people,
                plans,
            )

            for part in (plans, formulas, people, fill, courses):
                self.include_router(part.router, prefix=API.rstrip("/"))
            self.has_interface = True


def create_app(store: Store, settings: DeskSettings) -> DeskApp:
    """Return the desk over an open store.

    Parameters
    ----------
    store
        The store; whoever opened it closes it.
    settings
        How the desk is run.
    """
    app = DeskApp(
        title="Slatewright",
        version=__version__,
        summary="A planning aid for trained divers: not training, and no substitute for it.",
        openapi_url="/api/openapi.json",
        docs_url=None,  # the usual pages load themselves from a content network
        redoc_url=None,
    )
    app.state.desk = Desk(store=store, settings=settings, logins=Limiter(settings.seconds))
    add_refusals(app)
    app.add_route(f"{PREFIX}{{name:path}}", serve_asset, methods=["GET"], include_in_schema=False)
    for _, router in page_modules():
        app.include_router(router, include_in_schema=False)

    async def logged_in(request: Request) -> bool:
        request.scope["app"] = app
        token = Visit(request).login
        return bool(token) and await run_in_threadpool(_is_known, store, settings, token)

    async def inner(scope: Scope, receive: Receive, send: Send) -> None:
        if not app.has_interface and scope.get("path", "").startswith(API):
            await run_in_threadpool(app.add_interface)
        await FastAPI.__call__(app, scope, receive, send)

    app.guard = Guard(inner, settings, logged_in)
    return app


def _is_known(store: Store, settings: DeskSettings, token: str) -> bool:
    with store.read() as session:
        return is_logged_in(session, token, now=settings.now())
