"""Files are written whole or not at all."""

from __future__ import annotations

import os
import stat
import xml.etree.ElementTree as ET
from io import BytesIO

import pypdf
import pytest

from slatewright.cli import files
from slatewright.errors import InputError

from .conftest import EXAMPLES

QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"


def test_slate_and_chart_are_written_and_named(run, tmp_path):
    slate, chart = tmp_path / "slate.pdf", tmp_path / "profile.svg"
    done = run("dive", QUARRY, "--slate", slate, "--chart", chart)
    assert done.exit_code == 0
    assert f"The slate is in {slate}.\nThe profile is in {chart}.\n" in done.stdout
    text = "".join(
        page.extract_text() for page in pypdf.PdfReader(BytesIO(slate.read_bytes())).pages
    )
    assert "OXYGEN" in text
    root = ET.parse(chart).getroot()  # noqa: S314 - our own file
    assert root.tag.endswith("svg")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["profile.svg", "slate.pdf"]


def test_an_older_slate_is_replaced(run, tmp_path):
    slate = tmp_path / "slate.pdf"
    slate.write_bytes(b"%PDF-old")
    assert run("dive", QUARRY, "--slate", slate).exit_code == 0
    assert len(slate.read_bytes()) > 1000


def test_a_file_is_replaced_in_one_step_and_keeps_its_mode(tmp_path):
    path = tmp_path / "slate.pdf"
    path.write_bytes(b"%PDF-old")
    path.chmod(0o640)
    with path.open("rb") as reader:
        files.write_whole(path, b"%PDF-new", "slate")
        assert reader.read() == b"%PDF-old"  # who was reading still has the whole old file
    assert path.read_bytes() == b"%PDF-new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_has_the_mode_that_the_person_wants(tmp_path):
    before = os.umask(0o027)
    try:
        files.write_whole(tmp_path / "new.pdf", b"%PDF", "slate")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new.pdf").stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path):
    real = tmp_path / "real.pdf"
    real.write_bytes(b"%PDF-old")
    link = tmp_path / "link.pdf"
    link.symlink_to(real)
    files.write_whole(link, b"%PDF-new", "slate")
    assert link.is_symlink()
    assert real.read_bytes() == b"%PDF-new"


def test_a_failed_write_leaves_what_was_there(tmp_path, monkeypatch):
    path = tmp_path / "slate.pdf"
    path.write_bytes(b"%PDF-old")

    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="no space left"):
        files.write_whole(path, b"%PDF-new", "slate")
    assert path.read_bytes() == b"%PDF-old"
    assert list(tmp_path.iterdir()) == [path]
