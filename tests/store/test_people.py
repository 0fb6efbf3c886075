"""People: kept, handed over, and deleted so that nothing of them is left."""

from __future__ import annotations

import json
import subprocess
from datetime import date, timedelta
from pathlib import Path

import pytest

from slatewright.errors import InputError
from slatewright.store import Workspace, open_workspace, restore
from slatewright.store.faults import NoSuchRecord, StaleRecord
from slatewright.store.forgetting import SOMEBODY, export_person, forget_person
from slatewright.store.people import (
    Particulars,
    add_person,
    get_person,
    list_people,
    save_person,
)
from slatewright.store.plans import create_plan, save_plan
from slatewright.store.settings import save_setting
from slatewright.store.standards import create_standard
from slatewright.store.vouching import (
    Reading,
    SignatureKind,
    Who,
    add_analysis,
    cylinder_analyses,
    plan_signatures,
    sign_plan,
)
from slatewright.store.workspace import DATABASE

from .conftest import NOON

LATER = NOON + timedelta(hours=1)
# invented, and so spelt that a search of the files finds them nowhere else
MIRREN = Particulars(
    "Mirren Quillfeather", "the harbour office", "Old Tam, 555-0199", date(2031, 1, 7)
)


def add(store, particulars=MIRREN):
    with store.write() as session:
        return add_person(session, particulars, now=NOON)


def test_a_person_comes_back(store):
    made = add(store)
    with store.read() as session:
        assert get_person(session, made.id) == made
    assert (made.name, made.medical_on, made.medical_until) == (
        "Mirren Quillfeather",
        date(2031, 1, 7),
        None,
    )
    assert (made.version, made.created_at) == (1, NOON)


def test_the_roster_is_in_order_of_names(store):
    for name in ("berit", "Anker", "Cato"):
        add(store, Particulars(name))
    with store.read() as session:
        assert [p.name for p in list_people(session)] == ["Anker", "berit", "Cato"]


def test_the_later_save_of_two_windows_is_told(store):
    made = add(store)
    with store.write() as session:
        new = save_person(session, made.id, 1, Particulars("Mirren Q."), now=LATER)
        assert (new.version, new.contact, new.changed_at) == (2, "", LATER)
        with pytest.raises(StaleRecord) as told:
            save_person(session, made.id, 1, Particulars("M."), now=LATER)
        assert told.value.theirs == new
        assert save_person(session, made.id, 2, Particulars("Mirren Q."), now=NOON) == new


@pytest.mark.parametrize(
    ("particulars", "message"),
    [
        (Particulars(""), "name: is empty"),
        (Particulars("  "), "name: is empty"),
        (Particulars("two\nlines"), "name: holds what cannot be printed"),
        (Particulars("x" * 201), "201 letters"),
        (Particulars("A", contact="\x07"), "contact: holds what cannot be printed"),
        (Particulars("A", "", "", date(2031, 1, 2), date(2031, 1, 1)), "before it begins"),
    ],
)
def test_what_cannot_be_kept_is_refused(store, particulars, message):
    with pytest.raises(InputError, match=message):
        add(store, particulars)
    with store.read() as session:
        assert list_people(session) == ()


def vouched(store):
    """A person who has analysed, checked, and is named in a plan."""
    made = add(store)
    who = Who(made.name, made.id)
    with store.write() as session:
        text = f"title = 'The arch'\n# for {made.name}, 100 % hers\n"
        plan = create_plan(session, text, now=NOON)
        other = create_plan(session, "title = 'Nobody in it'", now=NOON)
        add_analysis(session, Reading("T7", 18.1, 44.6, 231.0), who, now=NOON)
        add_analysis(session, Reading("T7", 18.0, 44.9, 231.0), Who("Old Tam"), now=NOON)
        sign_plan(session, plan.id, 1, SignatureKind.CHECK, who, now=NOON)
        save_plan(session, plan.id, 1, "title = 'The arch'", now=LATER)
    return made, plan.id, other.id


def test_all_that_is_kept_about_a_person_is_handed_over(store):
    made, plan_id, _ = vouched(store)
    with store.read() as session:
        data = json.loads(json.dumps(export_person(session, made.id)))
    assert data["person"]["emergency_contact"] == "Old Tam, 555-0199"
    assert data["person"]["medical_on"] == "2031-01-07"
    assert [a["o2_pct"] for a in data["analyses"]] == [18.1]
    assert [s["plan_id"] for s in data["signatures"]] == [plan_id]
    assert data["named_in_plans"] == [plan_id], "an earlier text of the plan has the name"


def test_a_deleted_person_is_gone_and_what_was_analysed_stays(store):
    made, plan_id, other_id = vouched(store)
    done = forget_person(store, made.id, made.version)
    assert (done.records, done.named.plans) == (2, (plan_id,))
    assert other_id not in done.named.plans
    with store.read() as session:
        with pytest.raises(NoSuchRecord):
            get_person(session, made.id)
        names = [(a.o2_pct, a.by_name) for a in cylinder_analyses(session, "T7")]
        assert names == [(18.0, "Old Tam"), (18.1, SOMEBODY)]
        (signature,) = plan_signatures(session, plan_id)
        assert (signature.by_name, signature.by_person_id) == (SOMEBODY, None)
    with pytest.raises(NoSuchRecord):
        forget_person(store, made.id, made.version)
    assert add(store).id > made.id, "a number was given twice"


def test_texts_in_which_the_name_stands_are_told(store):
    made = add(store, Particulars('Åsa "Reef" Quillfeather'))
    texts = {
        "fill-1": json.dumps({"text": f'owner = "{made.name}"'}, ensure_ascii=False),
        "fill-2": json.dumps({"text": "# nobody in it"}),
        "fill-2-ticks": json.dumps({"cylinder": made.name}),
        "ledger-quote": '# for Åsa "reef" quillfeather\n',
        "ledger-rates": "# 100 % of Åsa\n",
    }
    with store.write() as session:
        for name, value in texts.items():
            save_setting(session, name, 0, value, now=NOON)
        standard = create_standard(session, f"# {made.name} wrote this\n", now=NOON)
    with store.read() as session:
        told = export_person(session, made.id)
    done = forget_person(store, made.id, made.version)
    assert done.named.settings == ("fill-1", "fill-2-ticks", "ledger-quote")
    assert told["named_in_settings"] == list(done.named.settings)
    assert done.named.standards == (standard.id,) == tuple(told["named_in_standards"])


def test_nobody_is_deleted_who_was_changed_meanwhile(store):
    made = add(store)
    with store.write() as session:
        save_person(session, made.id, 1, Particulars("Mirren Q."), now=LATER)
    with pytest.raises(StaleRecord):
        forget_person(store, made.id, 1)
    with store.read() as session:
        assert get_person(session, made.id).name == "Mirren Q."


def files_with(folder: Path, word: str) -> list[str]:
    """Search the bytes of all files, in a process of its own: the store's locks outlive it."""
    found = subprocess.run(
        ["grep", "-rlaF", word, str(folder)], capture_output=True, text=True, check=False
    )
    return sorted(Path(line).name for line in found.stdout.splitlines())


def test_nothing_of_a_deleted_person_is_left_in_the_folder(tmp_path):
    with open_workspace(tmp_path, now=NOON) as store:
        made = add(store)
        add(store, Particulars("Anker Windlass"))
        with store.write() as session:
            add_analysis(session, Reading("T7", 18, 45, 230), Who(made.name, made.id), now=NOON)
        store.back_up(now=LATER)
        with store.write() as session:
            create_plan(session, "title = 'later'", now=NOON)
        store.back_up(now=LATER + timedelta(hours=1))
        assert len(store.backups) == 2
        assert f"{DATABASE}-wal" in files_with(tmp_path, "Quillfeather")
        done = forget_person(store, made.id, made.version)
        assert (done.backups, done.elsewhere) == (2, ())
        assert len(store.backups) == 2
        assert files_with(tmp_path, "Quillfeather") == []  # the log too, while it is open
    assert files_with(tmp_path, "Quillfeather") == []
    assert files_with(tmp_path, "555-0199") == []
    assert len(files_with(tmp_path, "Windlass")) == 3, "the others are where they were"


def test_a_number_given_anew_after_a_restore_is_another_person(tmp_path):
    with open_workspace(tmp_path, now=NOON) as store:
        with store.write() as session:
            create_plan(session, "title = 'a beginning'", now=NOON)
        empty = store.back_up(now=NOON)
        first = add(store)
        old = store.back_up(now=LATER)
    aside = restore(tmp_path, empty.path, now=LATER)
    with open_workspace(tmp_path, now=LATER) as store:
        with store.write() as session:
            second = add_person(session, Particulars("Anker Windlass"), now=LATER)
        assert second.id == first.id
        done = forget_person(store, second.id, second.version)
        assert done.elsewhere == (aside,), "what was set aside is named"
        assert isinstance(store, Workspace)
    assert old.path.name in files_with(tmp_path, "Quillfeather")


def test_a_backup_that_is_not_whole_is_named(tmp_path):
    with open_workspace(tmp_path, now=NOON) as store:
        made = add(store)
        backup = store.back_up(now=LATER)
        backup.path.write_bytes(backup.path.read_bytes()[:5000])
        done = forget_person(store, made.id, made.version)
    assert (done.backups, done.elsewhere) == (0, (backup.path,))
