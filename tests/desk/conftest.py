"""A desk in this process, and one on a free port of this machine for the browser."""

from __future__ import annotations

import shutil
import threading
import time
import warnings
from datetime import UTC, date, datetime

import pytest
import uvicorn
from playwright.sync_api import sync_playwright

from slatewright.desk.addresses import listening
from slatewright.desk.app import create_app
from slatewright.desk.settings import DeskSettings
from slatewright.store import open_workspace

from .calling import Caller

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
TODAY = date(2031, 5, 4)
CHROMIUM = "/usr/bin/chromium"
QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-default-apps", "--no-first-run",
    "--disable-dev-shm-usage",
)  # fmt: skip


class Clock:
    """A clock that stands until it is put on."""

    def __init__(self):
        self.moment, self.ticks = NOON, 0.0

    def now(self):
        return self.moment

    def seconds(self):
        return self.ticks


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture(scope="session")
def empty_workspace(tmp_path_factory):
    """A workspace with nothing in it: copying it is quicker than making one each time."""
    folder = tmp_path_factory.mktemp("empty") / "workspace"
    open_workspace(folder, now=NOON).close()
    return folder


@pytest.fixture
def store(empty_workspace, tmp_path):
    folder = shutil.copytree(empty_workspace, tmp_path / "workspace")
    with open_workspace(folder, now=NOON) as opened:
        yield opened


@pytest.fixture
def settings(clock):
    return DeskSettings(now=clock.now, today=lambda: TODAY, seconds=clock.seconds)


@pytest.fixture
def app(store, settings):
    return create_app(store, settings)


@pytest.fixture
def desk(app):
    """A browser of sorts that talks to the desk in this process."""
    with Caller(app) as caller:
        yield caller


class Served:
    """A desk that listens on a free port of this machine."""

    def __init__(self, folder, **differing):
        self.store = open_workspace(folder, now=NOON)
        self._socket = listening("127.0.0.1", 0)
        port = self._socket.getsockname()[1]
        self.settings = DeskSettings(port=port, today=lambda: TODAY, **differing)
        self.app = create_app(self.store, self.settings)
        self.server = uvicorn.Server(uvicorn.Config(self.app, log_level="warning", ws="none"))
        self._thread = threading.Thread(
            target=self.server.run, kwargs={"sockets": [self._socket]}, daemon=True
        )

    @property
    def address(self):
        return f"http{'://'}127.0.0.1:{self.settings.port}"

    def __enter__(self):
        self._thread.start()
        patience = time.monotonic() + 10
        while not self.server.started:
            assert time.monotonic() < patience
            time.sleep(0.02)
        return self

    def __exit__(self, *_):
        self.server.should_exit = True
        self._thread.join(10)
        self._socket.close()
        self.store.close()


@pytest.fixture(scope="session")
def served(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("served") / "workspace") as desk:
        yield desk


@pytest.fixture(scope="session")
def serve(tmp_path_factory):
    """How to serve a desk that differs."""
    return lambda **differing: Served(tmp_path_factory.mktemp("other") / "workspace", **differing)


@pytest.fixture(scope="session")
def chromium():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # the driver's own event loop
        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
            yield browser
            browser.close()


@pytest.fixture
def open_page(chromium):
    """How to open a page; what the console complains of fails the test."""
    contexts, complaints = [], []

    def opening(width=1280, height=900, **differing):
        context = chromium.new_context(viewport={"width": width, "height": height}, **differing)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda said: said.type == "error" and complaints.append(said.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        return page

    opening.complaints = complaints
    yield opening
    for context in contexts:
        context.close()
    assert not complaints
