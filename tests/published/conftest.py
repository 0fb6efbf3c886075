"""Each outside check asserts, and leaves a row for docs/how-we-know.md."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from outside import Outside, Row, page

PAGE = Path(__file__).parents[2] / "docs" / "how-we-know.md"
_ROWS = pytest.StashKey[list[Row]]()


def pytest_addoption(parser):
    parser.addoption("--write-how-we-know", action="store_true", help="write docs/how-we-know.md")


def pytest_configure(config):
    config.stash[_ROWS] = []


@pytest.fixture
def outside(request):
    """Return the checker: ``outside.check(...)`` asserts and records."""
    return Outside(request.node.nodeid, request.config.stash[_ROWS])


def pytest_sessionfinish(session, exitstatus):
    if session.config.getoption("--write-how-we-know", default=False) and exitstatus == 0:
        PAGE.write_text(page(session.config.stash[_ROWS]), encoding="utf-8")
