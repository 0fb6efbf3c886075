"""What docs/workspace.md shows in Python runs; a missing server is asked for by name."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from slatewright.store import open_workspace

from . import cluster
from .conftest import NOON

PAGE = Path(__file__).parents[2] / "docs" / "workspace.md"


def test_the_python_of_the_page_runs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    blocks = re.findall(
        r"^```python\n(.*?)^```$", PAGE.read_text("utf-8"), re.MULTILINE | re.DOTALL
    )
    assert len(blocks) >= 2
    names: dict[str, object] = {}
    for block in blocks:
        exec(compile(block, PAGE.name, "exec"), names)  # noqa: S102 - our own page
    with open_workspace(tmp_path / "dives", now=NOON) as store:
        assert store.set_aside, "the page shows how to restore"


def test_a_machine_without_a_server_is_told_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setattr(cluster, "PROGRAMS", tmp_path)
    with pytest.raises(FileNotFoundError, match="apt-get install postgresql"):
        cluster.Cluster()
