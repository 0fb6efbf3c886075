"""Each outside check asserts, and leaves a row for docs/how-we-know.md."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from outside import Outside, Row, page

_ROWS = pytest.StashKey[list[Row]]()


def pytest_addoption(parser):
    parser.addoption("--how-we-know", metavar="FILE", help="write the page of checks to a file")


def pytest_configure(config):
    config.stash[_ROWS] = []


@pytest.fixture
def outside(request):
    """Return the checker: ``outside.check(...)`` asserts and records."""
    return Outside(request.node.nodeid, request.config.stash[_ROWS])


def pytest_sessionfinish(session, exitstatus):
    target = session.config.getoption("--how-we-know", default=None)
    if target and exitstatus == 0:
        Path(target).write_text(page(session.config.stash[_ROWS]), encoding="utf-8")
