"""Plans: kept to the letter, each save beside the ones before, the later save told."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem
from slatewright.store import open_store
from slatewright.store.columns import LARGEST_TEXT_BYTES
from slatewright.store.dives import add_dive
from slatewright.store.faults import NoSuchRecord, StaleRecord
from slatewright.store.plan_order import plan_chain, set_earlier_plan
from slatewright.store.plan_trash import destroy_plan, trash_plan, untrash_plan
from slatewright.store.plans import (
    UNTITLED,
    PlanStatus,
    create_plan,
    duplicate_plan,
    get_plan,
    list_plans,
    plan_texts,
    save_plan,
    set_plan_status,
)

from .conftest import NOON

EXAMPLES = Path(__file__).parents[2] / "examples"
LATER = NOON + timedelta(minutes=5)
FIRST = 'title = "The saddle"\nunits = "imperial"\n'


def make(store, text=FIRST, **words):
    with store.write() as session:
        return create_plan(session, text, now=NOON, **words)


def test_a_plan_comes_back_to_the_letter(store):
    text = (EXAMPLES / "build-up-week" / "6-the-wall.toml").read_text("utf-8")
    made = make(store, text)
    with store.read() as session:
        plan = get_plan(session, made.id)
    assert plan == made
    assert plan.text == text
    assert (plan.title, plan.units, plan.version) == ("The wall, 96 m", UnitSystem.METRIC, 1)
    assert (plan.status, plan.created_at, plan.changed_at) == (PlanStatus.DRAFT, NOON, NOON)


def test_moments_keep_their_time_zone(store):
    from datetime import timezone  # noqa: PLC0415 - only here

    east = timezone(timedelta(hours=11))
    with store.write() as session:
        made = create_plan(session, FIRST, now=NOON.astimezone(east))
    with store.read() as session:
        assert get_plan(session, made.id).created_at == NOON
        assert get_plan(session, made.id).created_at.utcoffset() == timedelta(0)


def test_a_moment_without_time_zone_is_refused(store):
    with pytest.raises(Exception, match="no time zone"), store.write() as session:
        create_plan(session, FIRST, now=NOON.replace(tzinfo=None))


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(text=st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=200))
def test_any_text_is_kept_to_the_letter(store, text):
    made = make(store, text)
    with store.read() as session:
        assert get_plan(session, made.id).text == text


@pytest.mark.parametrize(
    ("text", "title", "units"),
    [
        ("not = toml = at all", UNTITLED, UnitSystem.METRIC),
        ("title = 7\nunits = ['feet']\n", UNTITLED, UnitSystem.METRIC),
        ("title = ' A\\tdive '\nunits = 'furlongs'", "A\\tdive", UnitSystem.METRIC),
        ('title = " A\\tdive "\nunits = "imperial"', "Adive", UnitSystem.IMPERIAL),
        (f'title = "{"x" * 500}"', "x" * 200, UnitSystem.METRIC),
        ("a = " + "[" * 5000, UNTITLED, UnitSystem.METRIC),
    ],
)
def test_title_and_units_are_read_out_of_the_text(store, text, title, units):
    plan = make(store, text)
    assert (plan.title, plan.units) == (title, units)


def test_work_in_hand_with_faults_keeps_its_title(store):
    plan = make(store)
    with store.write() as session:
        broken = save_plan(session, plan.id, 1, "title = ", now=LATER)
    assert (broken.title, broken.units, broken.version) == ("The saddle", UnitSystem.IMPERIAL, 2)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a\x00b", "zero byte"),
        ("half \ud83d", "half a character"),
        ("x" * (LARGEST_TEXT_BYTES + 1), "1,000,001 bytes"),
    ],
)
def test_what_cannot_be_kept_is_refused(store, text, message):
    with pytest.raises(InputError, match=message):
        make(store, text)
    plan = make(store)
    with pytest.raises(InputError, match=message), store.write() as session:
        save_plan(session, plan.id, 1, text, now=LATER)


def test_the_largest_text_is_kept(store):
    plan = make(store, "x" * LARGEST_TEXT_BYTES)
    with store.read() as session:
        assert len(get_plan(session, plan.id).text) == LARGEST_TEXT_BYTES


def test_the_later_save_of_two_windows_is_told(store):
    plan = make(store)
    with store.write() as session:
        save_plan(session, plan.id, 1, "title = 'first window'", now=LATER)
    with pytest.raises(StaleRecord, match="another window") as told, store.write() as session:
        save_plan(session, plan.id, 1, "title = 'second window'", now=LATER)
    assert (told.value.version, told.value.given) == (2, 1)
    assert told.value.text == "title = 'first window'"
    assert told.value.theirs.changed_at == LATER
    with store.read() as session:
        assert get_plan(session, plan.id).text == "title = 'first window'"
    with store.write() as session:  # and having looked at both, it can be saved
        saved = save_plan(session, plan.id, told.value.version, "title = 'both'", now=LATER)
    assert saved.version == 3


@pytest.mark.parametrize(
    "change",
    [
        lambda s, p: set_plan_status(s, p, 1, PlanStatus.READY, now=LATER),
        lambda s, p: set_earlier_plan(s, p, 1, None, now=LATER),
        lambda s, p: trash_plan(s, p, 1, now=LATER),
    ],
)
def test_every_change_knows_what_it_was_made_from(store, change):
    plan = make(store)
    with store.write() as session:
        save_plan(session, plan.id, 1, "title = 'new'", now=LATER)
    with pytest.raises(StaleRecord), store.write() as session:
        change(session, plan.id)


def test_saving_the_same_text_changes_nothing(store):
    plan = make(store)
    with store.write() as session:
        assert save_plan(session, plan.id, 1, FIRST, now=LATER) == plan
    with store.read() as session:
        assert len(plan_texts(session, plan.id)) == 1


def test_undo_goes_back_across_sessions(address):
    with open_store(address, now=NOON) as store:
        plan = make(store, "title = 'one'")
        for version, text in enumerate(("title = 'two'", "title = 'three'"), start=1):
            with store.write() as session:
                save_plan(session, plan.id, version, text, now=NOON + timedelta(minutes=version))
    with open_store(address, now=LATER) as store, store.read() as session:
        texts = plan_texts(session, plan.id)
    assert [(t.version, t.text) for t in texts] == [
        (3, "title = 'three'"),
        (2, "title = 'two'"),
        (1, "title = 'one'"),
    ]
    assert [t.saved_at for t in texts] == [NOON + timedelta(minutes=m) for m in (2, 1, 0)]


def test_a_change_of_status_keeps_the_text_and_its_history(store):
    plan = make(store)
    with store.write() as session:
        ready = set_plan_status(session, plan.id, 1, PlanStatus.READY, now=LATER)
        assert (ready.status, ready.version, ready.changed_at) == (PlanStatus.READY, 2, LATER)
        same = set_plan_status(session, plan.id, 2, PlanStatus.READY, now=LATER)
        assert same.version == 2
        texts = plan_texts(session, plan.id)
    assert [(t.version, t.text) for t in texts] == [(2, FIRST)]


def test_lists_have_the_last_changed_first(store):
    one, two = make(store, "title = 'one'"), make(store, "title = 'two'")
    with store.write() as session:
        assert [p.id for p in list_plans(session)] == [two.id, one.id]
        save_plan(session, one.id, 1, "title = 'one again'", now=LATER)
    with store.read() as session:
        assert [p.title for p in list_plans(session)] == ["one again", "two"]


def test_a_duplicate_goes_its_own_way(store):
    first = make(store)
    second = make(store, "title = 'two'", earlier_plan_id=first.id)
    with store.write() as session:
        copy = duplicate_plan(session, second.id, now=LATER)
        save_plan(session, copy.id, 1, "title = 'other'", now=LATER)
    assert (copy.text, copy.earlier_plan_id, copy.version) == (second.text, first.id, 1)
    assert (copy.status, copy.created_at) == (PlanStatus.DRAFT, LATER)
    with store.read() as session:
        assert get_plan(session, second.id) == second


def test_dives_follow_each_other(store):
    ids: list[int] = []
    for number in range(4):
        made = make(store, f"title = '{number}'", earlier_plan_id=ids[-1] if ids else None)
        ids.append(made.id)
    with store.write() as session:
        assert [p.id for p in plan_chain(session, ids[-1])] == ids
        for earlier in ids:  # itself, and any that comes after it
            with pytest.raises(InputError, match="circle"):
                set_earlier_plan(session, ids[0], 1, earlier, now=LATER)
        cut = set_earlier_plan(session, ids[2], 1, None, now=LATER)
        assert [p.id for p in plan_chain(session, ids[-1])] == ids[2:]
        assert cut.version == 2


def test_the_trash_gives_back(store):
    plan = make(store)
    with store.write() as session:
        gone = trash_plan(session, plan.id, 1, now=LATER)
        assert list_plans(session) == ()
        assert [p.id for p in list_plans(session, trashed=True)] == [plan.id]
        assert gone.trashed_at == LATER
        with pytest.raises(InputError, match="in the trash"):
            save_plan(session, plan.id, gone.version, "title = 'x'", now=LATER)
        with pytest.raises(InputError, match="in the trash"):
            create_plan(session, FIRST, now=LATER, earlier_plan_id=plan.id)
        back = untrash_plan(session, plan.id)
        assert (back.trashed_at, back.text) == (None, FIRST)


def test_the_trash_takes_nothing_that_is_needed(store):
    first = make(store)
    second = make(store, "title = 'two'", earlier_plan_id=first.id)
    with store.write() as session:
        add_dive(session, date(2031, 6, 1), second.id, now=NOON)
        with pytest.raises(InputError, match="'two' begins with"):
            trash_plan(session, first.id, 1, now=LATER)
        with pytest.raises(InputError, match="2031-06-01"):
            trash_plan(session, second.id, 1, now=LATER)


def test_only_trash_is_deleted_for_good(store):
    first = make(store)
    second = make(store, "title = 'two'", earlier_plan_id=first.id)
    with store.write() as session:
        save_plan(session, second.id, 1, "title = 'two b'", now=LATER)
        with pytest.raises(InputError, match="not in the trash"):
            destroy_plan(session, second.id)
        trash_plan(session, second.id, 2, now=LATER)
        trash_plan(session, first.id, 1, now=LATER)
        with pytest.raises(InputError, match="follows this dive"):
            destroy_plan(session, first.id)
        with pytest.raises(InputError, match="'The saddle' is in the trash"):
            untrash_plan(session, second.id)
        destroy_plan(session, second.id)
        destroy_plan(session, first.id)
        with pytest.raises(NoSuchRecord):
            plan_texts(session, second.id)
    assert make(store).id > second.id, "a number was given twice"


@pytest.mark.parametrize("plan_id", [0, -1, 1, 2**31, 10**30])
def test_a_plan_that_is_not_there(store, plan_id):
    with store.read() as session, pytest.raises(NoSuchRecord, match=f"no plan {plan_id}"):
        get_plan(session, plan_id)
