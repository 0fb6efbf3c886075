"""The proposal: as good as trying everything, the same each time, and written into the text."""

from __future__ import annotations

from datetime import date, datetime, time
from itertools import combinations, permutations

import pytest

from slatewright.course.buildup_judging import judge
from slatewright.course.buildup_timeline import Solver
from slatewright.course.coursefile import Move, read_course_text, rescheduled
from slatewright.course.proposal import propose, slots_of
from slatewright.errors import InputError
from unit.course.course_texts import RULES, course, dive, plan, text_of

LADDER = [plan(42, 20, deco="EAN50"), plan(51, 20, deco="EAN50"), plan(60, 20, deco="EAN50")]
LIMITS = 'least_dives = 0\nnew_a_dive = 9\nfirst_start = "9:00"\nlast_start = "15:00"'
BACKWARDS = text_of(
    dive(3, "2031-05-05", "9:00"),
    dive(2, "2031-05-06", "9:00"),
    dive(1, "2031-05-07", "9:00"),
    limits=LIMITS,
)


def everything(of, solver, slots):
    """Return the least weight of all orders on all slots, by trying each."""
    numbers = [each.number for each in of.dives]
    return min(
        judge(
            of.with_moves([Move(n, at) for n, at in zip(order, some, strict=True)]), solver
        ).weight
        for some in combinations(slots, len(numbers))
        for order in permutations(numbers)
    )


@pytest.mark.parametrize(
    ("limits", "days"),
    [
        ("", (5, 6, 7)),
        ("step_m = 8", (5, 6, 7)),
        ("dives_a_day = 1", (5, 6)),
        ("dives_before_rest = 1", (5, 6, 7)),
        ('least_interval = "7:00"\ndives_before_rest = 2', (5, 6)),
        ("new_a_dive = 0\nstep_m = 10", (5, 6, 8)),
    ],
)
def test_no_order_on_the_same_days_is_better(limits, days):
    names = {line.split(" =")[0] for line in limits.splitlines()}
    kept = "\n".join(line for line in LIMITS.splitlines() if line.split(" =")[0] not in names)
    of = course(BACKWARDS.replace(LIMITS, f"{kept}\n{limits}"), LADDER)
    solver = Solver(RULES)
    slots = slots_of(of, [date(2031, 5, day) for day in days], [time(9, 0), time(15, 0)])
    proposal = propose(of, solver, slots=slots)
    assert proposal.least
    assert proposal.judged.weight == everything(of, solver, slots)


def test_shallow_comes_before_deep_and_the_text_says_so():
    of = course(BACKWARDS, LADDER)
    proposal = propose(of, Solver(RULES))
    assert proposal.before.weight > proposal.judged.weight == 0
    text = rescheduled(BACKWARDS, proposal.moves)
    depths = [each.deepest.value for each in course(text, LADDER).ladder]
    assert depths == [42, 51, 60]
    assert judge(course(text, LADDER), Solver(RULES)).weight == 0
    days = [table.on for table in read_course_text(text).dive]
    assert sorted(days) == [
        date(2031, 5, day) for day in (5, 6, 7)
    ]  # days enough: one dive on each


def test_the_same_course_gets_the_same_proposal():
    first, second = (propose(course(BACKWARDS, LADDER), Solver(RULES)) for _ in range(2))
    assert first.moves == second.moves


def test_what_is_as_good_stays():
    text = text_of(dive(1, "2031-05-05", "9:10"), dive(2, "2031-05-08", "11:40"), limits=LIMITS)
    assert propose(course(text, LADDER), Solver(RULES)).moves == ()


def test_a_step_to_the_bottom_is_not_the_least():
    """One step of 48 m is one finding, and yet worse than three of 16 m."""
    plans = [plan(depth, 12, deco="EAN50") for depth in (32, 48, 64)]
    text = text_of(
        *(dive(i, f"2031-05-0{i}", "9:00") for i in (1, 2, 3)),
        limits=f"{LIMITS}\nstep_m = 10",
        people='[[instructor]]\nname = "Mirren"\n[[student]]\nname = "Tove"\ndeepest_m = 20\n'
        "helium_before = true\n",
    )
    proposal = propose(course(text, plans), Solver(RULES))
    assert proposal.moves == ()
    assert proposal.judged.weight == 1 + 1 + 1


def test_a_dive_elsewhere_stays_and_is_kept_apart():
    text = text_of(
        dive(1, "2031-05-05", "9:00"),
        dive(2, "2031-05-06", "9:00"),
        limits=LIMITS,
        more='[[elsewhere]]\nplan = "#3"\non = 2031-05-05\nat = "8:00"\nwho = "Mirren"\n',
    )
    of = course(text, LADDER)
    proposal = propose(of, Solver(RULES))
    assert proposal.before.weight > 0 == proposal.judged.weight
    elsewhere = [timed for timed in proposal.judged.timeline.dives if timed.dive.elsewhere]
    assert [timed.dive.start for timed in elsewhere] == [datetime(2031, 5, 5, 8, 0)]  # noqa: DTZ001
    assert all(move.to.date() != date(2031, 5, 5) or move.to.hour >= 12 for move in proposal.moves)


def test_days_of_rest_and_days_kept_are_left_free():
    text = BACKWARDS + "[[rest]]\non = 2031-05-06\n[[lost_day]]\non = 2031-05-09\n"
    of = course(text, LADDER)
    assert {slot.date().day for slot in slots_of(of)} == {5, 7, 8}


def test_fewer_times_than_dives_are_refused():
    of = course(BACKWARDS, LADDER)
    with pytest.raises(InputError, match="2 times for 3 dives"):
        propose(of, Solver(RULES), slots=slots_of(of, [date(2031, 5, 5)], [time(9), time(15)]))


def test_a_long_course_is_refused():
    dives = [dive(1, f"2031-05-{day:02d}", "9:00") for day in range(1, 14)]
    with pytest.raises(InputError, match="13 dives"):
        propose(course(text_of(*dives), LADDER), Solver(RULES))


def test_a_search_that_is_cut_short_says_so():
    assert not propose(course(BACKWARDS, LADDER), Solver(RULES), most_trials=1).least
