"""``slatewright desk`` and the commands around a workspace."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import urllib.request
import zipfile
from datetime import UTC, datetime

import pytest

from slatewright.desk.fill.keeping import FillText, keep_fill
from slatewright.desk.ledger.keeping import Part, save_ledger_text
from slatewright.store import open_workspace
from slatewright.store.logins import get_password_hash, password_is
from slatewright.store.people import Particulars, add_person
from slatewright.store.plans import get_plan, list_plans
from slatewright.store.settings import HOUSE_RULES, get_setting

from .conftest import EXAMPLES

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
WEEK = sorted((EXAMPLES / "build-up-week").glob("*.toml"))
PASSWORD = "six leads on a line"  # noqa: S105 - of a desk that lives for a moment


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "workspace"


@pytest.fixture
def opened(folder):
    """How to look into the workspace."""
    return lambda: open_workspace(folder, now=NOON)


@pytest.fixture
def desk(folder):
    """A desk of its own process, ended as a person ends it; yields address and process."""
    started = []

    def starting(*words, stdin=None, env=None):
        process = subprocess.Popen(
            [sys.executable, "-W", "error", "-m", "slatewright", "desk", str(folder), "--port", "0",
             "--no-browser", *words],
            stdin=subprocess.PIPE if stdin else None, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE, text=True, env={**os.environ, **(env or {})},
        )  # fmt: skip
        started.append(process)
        if stdin:
            process.stdin.write(stdin)
            process.stdin.flush()
        line = process.stdout.readline()
        found = re.search(r"open at (\S+) ", line)
        assert found, line + process.stderr.read()
        return found[1], process

    yield starting
    for process in started:
        process.kill()
        process.communicate()


def fetched(address):
    with urllib.request.urlopen(address, timeout=20) as answer:  # noqa: S310 - our own desk
        return answer.read().decode()


def test_the_desk_opens_in_a_new_folder_and_ends_quietly(desk, folder, opened):
    address, process = desk()
    assert address.startswith(f"http{'://'}127.0.0.1:")
    assert "What is next" in fetched(address)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=20)
    assert (process.returncode, out, err) == (0, "", "")
    with opened() as store:
        assert store.backups


def test_a_taken_port_and_a_closed_folder_are_said(desk, start, folder, tmp_path):
    address, _ = desk()
    port = address.rpartition(":")[2]
    again = start("desk", folder, "--port", port, "--no-browser")
    assert again.returncode == 2
    assert f"--port {port}: is taken" in again.stderr
    file = tmp_path / "file"
    file.touch()
    assert start("desk", file, "--no-browser").returncode == 2


def test_serving_others_asks_for_a_password_and_keeps_its_hash(desk, opened):
    address, process = desk("--serve-others", "--address", "127.0.0.1", stdin=f"{PASSWORD}\n")
    assert "This desk is kept closed" in fetched(address)
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=20)
    with opened() as store, store.read() as session:
        kept = get_password_hash(session)
    assert kept.startswith("$argon2id$")
    assert password_is(PASSWORD, kept)


def test_a_short_password_is_refused(start, folder):
    done = start("desk", folder, "--serve-others", "--port", "0", "--no-browser", input="short\n")
    assert done.returncode == 2
    assert "10 to 1000" in done.stderr


@pytest.mark.parametrize("words", [["--new-password"], ["--address", "somewhere"]])
def test_what_is_for_others_needs_others(run, folder, words):
    done = run("desk", folder, *words)
    assert done.exit_code == 2
    assert "--serve-others" in done.stderr


def test_house_rules_of_ones_own_are_taken_over_once(desk, opened, tmp_path):
    config = tmp_path / "config" / "slatewright"
    config.mkdir(parents=True)
    own = 'schema = "slatewright/house-rules/1"\nfloor_bar = 0.2\n'
    (config / "house-rules.toml").write_text(own, "utf-8")
    _, process = desk(env={"XDG_CONFIG_HOME": str(tmp_path / "config")})
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=20)
    assert "taken over your house rules" in err
    with opened() as store, store.read() as session:
        assert get_setting(session, HOUSE_RULES).value == own


def test_plans_come_in_and_go_out(run, folder, opened, tmp_path):
    done = run("import", *reversed(WEEK), "--workspace", folder)
    assert done.exit_code == 0
    assert done.stdout.splitlines()[-1] == "plan 6: The wall, 96 m, after plan 5"
    out = tmp_path / "plans.zip"
    assert "6 plans are in" in run("export", out, "--workspace", folder).stdout
    with zipfile.ZipFile(out) as archive:
        texts = sorted(archive.read(name) for name in archive.namelist())
    assert texts == sorted(path.read_bytes() for path in WEEK)
    assert run("export", out, "--workspace", folder).exit_code == 2


@pytest.mark.parametrize(
    ("content", "words"), [(None, "no such file"), (b"\xff", "is not UTF-8"), (b"\0", "zero byte")]
)
def test_a_file_that_cannot_be_kept_is_said(run, folder, opened, tmp_path, content, words):
    path = tmp_path / "plan.toml"
    if content is not None:
        path.write_bytes(content)
    done = run("import", path, "--workspace", folder)
    assert done.exit_code == 2
    assert words in done.stderr
    with opened() as store, store.read() as session:
        assert not list_plans(session)


def test_a_workspace_is_restored_from_a_backup_by_name(run, folder, opened):
    run("import", WEEK[0], "--workspace", folder)
    with opened() as store:
        store.back_up(now=NOON)
    run("import", WEEK[1], "--workspace", folder)
    (line,) = run("restore", folder).stdout.splitlines()
    done = run("restore", folder, line.split()[0])
    assert done.exit_code == 0, done.stderr
    assert "is kept in" in done.stdout
    with opened() as store, store.read() as session:
        assert [plan.title for plan in list_plans(session)] == ["The shelf, 45 m"]


def test_restoring_waits_for_nobody_who_has_it_open(run, folder, opened):
    with opened() as store:
        backup = store.back_up(now=NOON)
        done = run("restore", folder, backup.path.name)
    assert done.exit_code == 1
    assert "is open in another window" in done.stderr


def test_restoring_what_is_no_backup_is_refused(run, folder, tmp_path):
    assert run("restore", folder).exit_code == 2
    run("import", WEEK[0], "--workspace", folder)
    odd = tmp_path / "odd.sqlite3"
    odd.write_bytes(b"no database")
    assert run("restore", folder, odd).exit_code == 2


@pytest.fixture
def wren(folder, opened):
    """A person in the workspace, and in a plan's text."""
    with opened() as store:
        with store.write() as session:
            person = add_person(session, Particulars("Wren", "wren@example"), now=NOON)
            keep_fill(session, FillText('title = "Gas of a week"\n# for Wren\n'), now=NOON)
            save_ledger_text(session, Part.RATES, 0, "# as agreed with Wren\n", now=NOON)
        store.back_up(now=NOON)
    return person.id


def test_a_person_is_handed_over_and_deleted(run, folder, opened, wren):
    run("import", EXAMPLES / "imperial/quarry-200ft.toml", "--workspace", folder)
    assert run("people", "list", "--workspace", folder).stdout.split() == [str(wren), "Wren"]
    told = json.loads(run("people", "export", wren, "--workspace", folder).stdout)
    assert told["schema"] == "slatewright/person/1"
    assert told["person"]["contact"] == "wren@example"
    done = run("people", "delete", wren, "--yes", "--workspace", folder)
    assert done.exit_code == 0
    assert "these plans" in done.stderr
    assert "The name stands in fill file 1, “Gas of a week”" in done.stderr
    assert "The name stands in the rates of the ledger" in done.stderr
    assert run("people", "list", "--workspace", folder).stdout == "Nobody is in this workspace.\n"
    assert run("people", "export", wren, "--workspace", folder).exit_code == 2
    for path in folder.rglob("*"):
        if path.is_file() and path.suffix == ".sqlite3":
            assert b"wren@example" not in path.read_bytes()


def test_nobody_is_deleted_without_a_yes(start, folder, wren):
    done = start("people", "delete", wren, "--workspace", folder, input="n\n")
    assert done.returncode == 0
    assert "Nothing was deleted." in done.stderr
    assert "Wren" in start("people", "list", "--workspace", folder).stdout


def test_ones_own_workspace_is_the_usual_one(start, tmp_path):
    env = {"XDG_DATA_HOME": str(tmp_path / "data")}
    start("import", WEEK[0], env=env)
    own = tmp_path / "data/slatewright/workspace"
    with open_workspace(own, now=NOON) as store, store.read() as session:
        assert get_plan(session, 1).title == "The shelf, 45 m"


@pytest.mark.parametrize(
    "words", [["desk"], ["restore"], ["export"], ["import"], ["people"], ["people", "delete"]]
)
def test_every_command_has_help(run, words):
    done = run(*words, "--help")
    assert done.exit_code == 0
    assert done.stdout.startswith("Usage: ")
