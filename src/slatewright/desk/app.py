"""The application: pages, programming interface and files behind one guard."""

from __future__ import annotations

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.types import Receive, Scope, Send

from slatewright import __version__
from slatewright.desk.api import courses, fill, formulas, people, plans
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

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the guard answer first."""
        await self.guard(scope, receive, send)


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
    for router in (plans.router, formulas.router, people.router, fill.router, courses.router):
        app.include_router(router, prefix=API.rstrip("/"))

    async def logged_in(request: Request) -> bool:
        request.scope["app"] = app
        token = Visit(request).login
        return bool(token) and await run_in_threadpool(_is_known, store, settings, token)

    async def inner(scope: Scope, receive: Receive, send: Send) -> None:
        await FastAPI.__call__(app, scope, receive, send)

    app.guard = Guard(inner, settings, logged_in)
    return app


def _is_known(store: Store, settings: DeskSettings, token: str) -> bool:
    with store.read() as session:
        return is_logged_in(session, token, now=settings.now())
