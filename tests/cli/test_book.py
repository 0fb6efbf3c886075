"""``slatewright book``: a book that holds, and one that was tampered with."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from datetime import UTC, datetime

import pytest

from slatewright.course.signoff import Outcome
from slatewright.store import open_workspace
from slatewright.store.courses import create_course
from slatewright.store.sign_offs import Shown, book_of, sign_off
from slatewright.store.vouching import Who
from slatewright.store.workspace import DATABASE

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


@pytest.fixture
def kept(tmp_path):
    """A workspace with a course and three entries; its folder and the second head."""
    folder = tmp_path / "workspace"
    with open_workspace(folder, now=NOON) as store, store.write() as session:
        course = create_course(session, 'title = "A week"\n', now=NOON)
        for skill in ("trim", "valves", "marker"):
            shown = Shown(Who("Tove"), skill, "1", Outcome.SHOWN)
            sign_off(session, course.id, shown, Who("Mirren"), now=NOON)
        second = book_of(session, course.id).entries[1].hash
    return folder, second


def test_a_book_that_holds(run, kept):
    folder, head = kept
    said = run("book", 1, "--workspace", folder, "--head", head)
    assert said.exit_code == 0, said.stderr
    assert "3 entries, and every one holds. The head that was kept is in it." in said.stdout


def test_a_head_as_it_is_printed(run, kept):
    folder, head = kept
    printed = " ".join(head[i : i + 16] for i in range(0, 64, 16)).upper()
    said = run("book", 1, "--workspace", folder, "--head", f"{printed}\n")
    assert said.exit_code == 0, said.stderr
    assert "The head that was kept is in it." in said.stdout


@pytest.mark.parametrize(
    ("head", "said"), [("ab" * 30, "has 60 letters, and a head has 64"), ("o" * 64, "has 'o'")]
)
def test_what_is_no_head_is_said(run, kept, head, said):
    refused = run("book", 1, "--workspace", kept[0], "--head", head)
    assert refused.exit_code == 2
    assert said in refused.stderr
    assert "does not hold" not in refused.stderr


def test_a_head_that_is_not_in_it(run, kept):
    said = run("book", 1, "--workspace", kept[0], "--head", "0" * 64)
    assert said.exit_code == 3
    assert "does not hold" in said.stderr
    assert "missing" in said.stderr


def test_an_entry_that_was_changed_behind_the_program(run, kept):
    folder, _ = kept
    with closing(sqlite3.connect(folder / DATABASE)) as connection:
        connection.execute("DROP TRIGGER sign_off_no_update")
        (text,) = connection.execute("SELECT text FROM sign_off WHERE number = 2").fetchone()
        told = json.loads(text) | {"skill": "everything"}
        connection.execute("UPDATE sign_off SET text = ? WHERE number = 2", (json.dumps(told),))
        connection.commit()
    said = run("book", 1, "--workspace", folder)
    assert said.exit_code == 3
    assert "entry 2: its hash does not fit what it says" in said.stderr


def test_no_course_and_where_to_find_one(run, kept):
    said = run("book", 9, "--workspace", kept[0])
    assert said.exit_code == 2
    assert "there is no course 9" in said.stderr
    assert "a number that `slatewright book` prints" in said.stderr
    assert run("book", "--workspace", kept[0]).stdout == "   1  A week\n"
    assert run("book", "--workspace", kept[0], "--head", "0" * 64).exit_code == 2


def test_a_workspace_without_a_course(run, tmp_path):
    said = run("book", "--workspace", tmp_path / "empty")
    assert said.exit_code == 0
    assert "No course is in this workspace." in said.stdout
