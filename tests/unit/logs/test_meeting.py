"""A new logbook beside what is kept: each dive once, the fuller entry, never joined unasked."""

from __future__ import annotations

from datetime import date, time, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.logs.duplicates import Sameness
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive
from slatewright.logs.meeting import merged, twins

DAY = date(2031, 4, 1)


def dive(days=0, minutes=50, depth=30.0, at=None, **more):
    return LoggedDive(
        on_date=DAY + timedelta(days=days),
        minutes=minutes,
        greatest=LoggedDepth(depth),
        began_at=at,
        **more,
    )


def test_the_very_same_is_exact_and_rounded_is_likely():
    kept = [dive(0, at=time(9, 0)), dive(3, at=time(9, 0))]
    feet = LoggedDive(
        on_date=DAY + timedelta(days=3),
        minutes=50,
        greatest=LoggedDepth(100, DepthUnit.FEET),
        began_at=time(9, 4),
    )
    found = twins([kept[0], feet], kept)
    assert [(t.sameness, t.new, t.kept) for t in found] == [
        (Sameness.LIKELY, 1, 1),
        (Sameness.EXACT, 0, 0),
    ]


def test_nothing_is_joined_unasked():
    kept = [dive(at=time(9, 0))]
    new = [dive(at=time(9, 0))]
    outcome = merged(new, kept, twins(new, kept), ())
    assert outcome.added == tuple(new)
    assert outcome.replaced == {}


def test_the_fuller_entry_takes_the_place_of_the_kept_one():
    kept = [dive(at=time(9, 0))]
    new = [dive(at=time(9, 0), place="the Stair", partners=("Jory",))]
    outcome = merged(new, kept, twins(new, kept), {0})
    assert outcome.added == ()
    assert outcome.replaced == {0: new[0]}


def test_a_kept_entry_that_is_as_full_is_left_alone():
    kept = [dive(at=time(9, 0), place="the Stair")]
    new = [dive(at=time(9, 0))]
    outcome = merged(new, kept, twins(new, kept), {0})
    assert (outcome.added, outcome.replaced) == ((), {})


def test_three_entries_of_one_dive_come_to_one():
    kept = [dive(at=time(9, 0))]
    new = [dive(at=time(9, 0), place="the Stair"), dive(at=time(9, 0), remark="surge")]
    found = twins(new, kept)
    outcome = merged(new, kept, found, range(len(found)))
    assert outcome.added == ()
    (one,) = outcome.replaced.values()
    assert (one.place, one.remark) == ("the Stair", "surge")


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 3), st.sampled_from([30.0, 30.4, 42.0])), max_size=8),
    st.lists(st.tuples(st.integers(0, 3), st.sampled_from([30.0, 30.4, 42.0])), max_size=8),
    st.data(),
)
def test_no_dive_is_lost_or_made(kept_rows, new_rows, data):
    kept, new = ([dive(d, depth=m) for d, m in rows] for rows in (kept_rows, new_rows))
    found = twins(new, kept)
    join = data.draw(st.sets(st.sampled_from(range(len(found))))) if found else set()
    outcome = merged(new, kept, found, join)
    # each join takes one entry away, unless both of it went into kept ones already
    assert len(new) - len(join) <= len(outcome.added) <= len(new)
    assert set(outcome.replaced) <= set(range(len(kept)))
    if not join:
        assert outcome.added == tuple(new)
