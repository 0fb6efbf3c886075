"""What a person gets wrong: a message, the right exit code, and never a traceback."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest

from .conftest import EXAMPLES

QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"


def refused(done, code=2):
    out, err = done.stdout, done.stderr
    assert (done.exit_code if hasattr(done, "exit_code") else done.returncode) == code, err
    assert out == ""
    assert err
    assert "Traceback" not in err
    return err


def test_a_fault_is_named_with_file_line_and_what_would_be_right(run, plan_file):
    path = plan_file(gases=[("10-70", "bottom")])
    err = refused(run("dive", path))
    assert f"{path}:6: gas[1].mix: '10-70' is no mixture" in err
    assert "right would be: " in err


def test_all_faults_are_told_at_once(run, plan_file):
    err = refused(run("dive", plan_file(gases=[("10-70", "bottom")], levels=[(-5, 20)])))
    assert "gas[1].mix" in err
    assert "level[1].depth_m" in err


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is missing"),
        (bytes(range(256)) * 20, "not UTF-8"),
        (b"\x00" * 2_000_000, "far more than a plan"),
        (b"a = " + b"[" * 20_000, "nested too deeply"),
        (b'title = "x', ":1"),
    ],
    ids=["empty", "binary", "huge", "deep", "unfinished"],
)
def test_files_that_are_no_plans(start, tmp_path, content, words):
    path = tmp_path / "plan.toml"
    path.write_bytes(content)
    assert words in refused(start("dive", path))


def test_paths_that_are_no_plans(run, tmp_path):
    assert "no such file" in refused(run("dive", tmp_path / "none.toml"))
    assert "is a directory" in refused(run("dive", tmp_path))
    assert "is a device" in refused(run("dive", "/dev/zero"))


def test_files_that_are_closed_to_us(run, monkeypatch, plan_file, tmp_path):
    """Root may read and write everything, so the system's answer is played here."""

    def denied(*_, **__):
        raise PermissionError(13, "Permission denied")

    path = plan_file()
    monkeypatch.setattr(tempfile, "mkstemp", denied)
    assert "cannot be written: permission denied" in refused(
        run("dive", path, "--slate", tmp_path / "slate.pdf")
    )
    monkeypatch.setattr(Path, "read_bytes", denied)
    monkeypatch.setattr(Path, "open", denied)
    assert "permission denied" in refused(run("dive", path))


def test_what_is_quoted_cannot_steer_the_terminal(run, plan_file):
    err = refused(run("dive", plan_file(gases=[("10\\u001b[31m", "bottom")])))
    assert "\x1b" not in err
    assert "\\x1b" in err


def test_no_safe_answer_says_why_and_what_would_cure_it(run, plan_file):
    path = plan_file(gases=[("10/70", "bottom"), ("EAN50", "decompression")], levels=[(90, 20)])
    err = refused(run("dive", path), 3)
    assert f"{path}: no safe answer" in err
    assert "because 10/70" in err
    assert "cure: carry a travel gas" in err


@pytest.mark.parametrize(
    ("option", "name", "words"),
    [
        ("--slate", "slate.txt", "a name that ends in .pdf, such as slate.pdf"),
        ("--chart", "chart", "a name that ends in .svg, such as chart.svg"),
        ("--slate", "none/slate.pdf", "there is no folder"),
        ("--slate", "folder.pdf", "is a folder"),
        ("--slate", "plan.pdf", "is there already, and is no PDF"),
        ("--chart", "plan.svg", "is there already, and is no SVG"),
        ("--house", "none.toml", "no such file"),
        ("--house", "plan.pdf", "house-rules"),
    ],
)
def test_options_that_cannot_be(run, tmp_path, option, name, words):
    (tmp_path / "folder.pdf").mkdir()
    precious = "schema = 'something of a person'\n"
    for kept in ("plan.pdf", "plan.svg"):
        (tmp_path / kept).write_text(precious)
    assert words in refused(run("dive", QUARRY, option, tmp_path / name))
    assert (tmp_path / "plan.pdf").read_text() == precious
    assert (tmp_path / "plan.svg").read_text() == precious


def test_a_place_that_cannot_be_written(run):
    err = refused(run("dive", QUARRY, "--chart", "/proc/chart.svg"))
    assert "--chart /proc/chart.svg: cannot be written" in err


def test_an_unknown_option_or_command_is_bad_input(run):
    assert run("dive", QUARRY, "--bogus").exit_code == 2
    assert run("dove").exit_code == 2
    assert run("dive").exit_code == 2


def test_a_full_disk_is_told_without_a_traceback(start):
    with open("/dev/full", "w") as full:  # noqa: PTH123 - a device, not a file
        for more in ((), ("--json",)):
            done = start("dive", QUARRY, *more, capture_output=False, stdout=full, stderr=-1)
            assert done.returncode == 1
            assert "no space left" in done.stderr
            assert "Traceback" not in done.stderr


def test_a_reader_who_has_seen_enough_is_no_fault(start):
    read, write = os.pipe()
    os.close(read)
    try:
        done = start("dive", QUARRY, capture_output=False, stdout=write, stderr=-1)
    finally:
        os.close(write)
    assert done.stderr == ""


def test_house_file_faults_bear_their_line(run, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text('schema = "slatewright/house-rules/1"\nfloor_bar = 0.1\n')
    assert f"{own}:2: floor_bar" in refused(run("dive", QUARRY, "--house", own))
