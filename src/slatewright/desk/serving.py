"""The desk as a running server, until somebody ends it."""

from __future__ import annotations

import socket
import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from typing import Final

import uvicorn
from fastapi import FastAPI

from slatewright.desk.app import DeskApp, create_app
from slatewright.desk.settings import DeskSettings
from slatewright.store.database import Store

_GRACE_S: Final = 3
"""How long a request may still take when the desk is ended."""


def serve(
    store: Store,
    settings: DeskSettings,
    listener: socket.socket,
    ready: Callable[[], None],
) -> None:
    """Answer requests until the process is told to end.

    Parameters
    ----------
    store
        The open store; the caller closes it.
    settings
        How the desk is run.
    listener
        The socket that listens already.
    ready
        Called once when the desk answers.
    """

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        threading.Thread(target=warm_up, args=(app,), daemon=True).start()
        ready()
        yield

    app = create_app(store, settings)
    app.router.lifespan_context = lifespan
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=False,
        proxy_headers=False,  # nobody stands between: a header must not say who is asking
        timeout_graceful_shutdown=_GRACE_S,
        ws="none",
        lifespan="on",
    )
    with suppress(KeyboardInterrupt):  # the usual way to end it
        uvicorn.Server(config).run(sockets=[listener])


def warm_up(app: DeskApp) -> None:
    """Do beforehand what the first real dive, and the first other program, would wait for.

    Parameters
    ----------
    app
        The desk.
    """
    from slatewright.desk.blank import blank_plan  # noqa: PLC0415 - the first page need not wait
    from slatewright.desk.computing import Link, computed  # noqa: PLC0415 - same
    from slatewright.dive.house_rules import HouseRules  # noqa: PLC0415 - same
    from slatewright.physics.units import UnitSystem  # noqa: PLC0415 - same

    computed((Link("warm-up", blank_plan(UnitSystem.METRIC)),), HouseRules())
    app.add_interface()
