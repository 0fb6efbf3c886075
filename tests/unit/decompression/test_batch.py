"""Many dives at once: shapes, outcomes, threads, and what is refused. All dives are invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from kernel_dives import air_case, deep_case
from slatewright.decompression.ascent import solve_ascent
from slatewright.decompression.batch import Batch
from slatewright.decompression.ladder import ladder
from slatewright.decompression.outcome import Outcome, refusal
from slatewright.decompression.planned import planned_rows, rows_until
from slatewright.decompression.settings import AscentSettings, OxygenBreaks
from slatewright.decompression.tissues import Tissues
from slatewright.errors import InputError

DEEP = deep_case()
ROWS = planned_rows(DEEP.planned)
SATURATED = Tissues((9.0,) * 16, (1.0,) * 16)


def batch_of(case, *, deepest_m=90.0, **options) -> Batch:
    return Batch(case.gases, [case.rungs], case.settings, case.water, deepest_m, **options)


def longer(count):
    rows = np.repeat(ROWS[np.newaxis], count, axis=0)
    rows[:, 3, 3] += np.linspace(0.0, 10.0, count)
    return rows


def test_one_dive_alone():
    found = batch_of(DEEP).solve_dives(ROWS, DEEP.tissues)
    assert len(found) == 1
    assert found.outcome_of(0) is Outcome.SOLVED
    assert found.runtime_min[0] == DEEP.solve().runtime_min
    assert found.stop_min.shape == (1, 31)
    assert (found.end_bar, found.leg_count, found.leg_rows) == (None, None, None)


def test_the_change_of_gas_on_the_way_down_is_no_stop_on_the_way_up():
    found = batch_of(DEEP).solve_dives(ROWS, DEEP.tissues, keep_legs=True)
    at_21 = [leg for leg in found.legs_of(0) if leg.from_m == leg.to_m == 21.0]
    assert at_21[0].start_min < 5.0
    assert found.stop_min[0, 7] == pytest.approx(sum(leg.minutes for leg in at_21[1:]))


@pytest.mark.parametrize("threads", [1, 2, 3])
def test_results_do_not_depend_on_threads(threads):
    rows = longer(101)
    alone = batch_of(DEEP, threads=1).solve_dives(rows, DEEP.tissues, keep_ends=True)
    found = batch_of(DEEP, threads=threads).solve_dives(rows, DEEP.tissues, keep_ends=True)
    assert np.array_equal(found.stop_min, alone.stop_min)
    assert np.array_equal(found.end_bar, alone.end_bar)
    assert np.array_equal(found.runtime_min, alone.runtime_min)


def test_chunks_hold_all_dives(monkeypatch):
    monkeypatch.setattr("slatewright.decompression.batch.CHUNK", 7)
    rows = longer(50)
    found = batch_of(DEEP, threads=2).solve_dives(rows, DEEP.tissues)
    assert (found.runtime_min > 100.0).all()
    assert found.runtime_min[-1] > found.runtime_min[0]


def test_gradients_one_for_each_dive():
    low, high = np.array([0.2, 0.3, 0.5]), np.array([0.7, 0.8, 0.9])
    found = batch_of(DEEP).solve_dives(ROWS, DEEP.tissues, gradients=(low, high))
    for dive in range(3):
        single = DEEP.having(gradient_low=low[dive], gradient_high=high[dive]).solve()
        assert found.runtime_min[dive] == single.runtime_min
        assert found.first_stop_m[dive] == single.first_stop_m


def test_tensions_one_for_each_dive():
    again = DEEP.solve().end
    rows = [DEEP.tissues, again]
    start = np.array([tissues.n2_bar + tissues.he_bar for tissues in rows])
    found = batch_of(DEEP).solve_dives(ROWS, start)
    for dive, tissues in enumerate(rows):
        assert found.runtime_min[dive] == replace(DEEP, start=tissues).solve().runtime_min


def test_ladders_one_for_each_dive():
    lost_oxygen = ladder(DEEP.gases[:2], 0, 90.0, DEEP.settings)
    batch = Batch(DEEP.gases, [DEEP.rungs, lost_oxygen], DEEP.settings, DEEP.water, 90.0)
    found = batch.solve_dives(ROWS, DEEP.tissues, ladder=[0, 1])
    assert found.runtime_min[0] == DEEP.solve().runtime_min
    lost = replace(DEEP, gases=DEEP.gases[:2])
    assert found.runtime_min[1] == lost.solve().runtime_min > found.runtime_min[0] + 20.0


def test_ascents_from_any_depth_have_the_last_stop_of_single_ones():
    """From above the last stop of 6 m another last stop holds; one batch has them all."""
    depths_m = np.array([1.0, 2.9, 3.0, 4.0, 5.9, 6.0, 8.0, 17.5, 30.0])
    loaded = Tissues((1.20,) * 16, (0.0,) * 16)
    case = replace(air_case(30.0, 10.0), start=loaded)
    found = batch_of(case, deepest_m=30.0).solve_ascents(depths_m, 10.0, 0, loaded, keep_legs=True)
    for dive, depth_m in enumerate(depths_m):
        if found.outcome_of(dive) is Outcome.SOLVED:
            single = solve_ascent(
                float(depth_m), 10.0, 0, case.gases, air_case(float(depth_m), 10.0).rungs,
                case.settings, case.water, loaded,
            )  # fmt: skip
            assert found.legs_of(dive) == single.legs
            assert found.runtime_min[dive] == single.runtime_min
    assert (found.outcome == 0).sum() >= 7


def test_every_moment_of_a_dive_has_its_ascent():
    at_min = np.linspace(0.05, 20.0, 300)
    travel = ladder(DEEP.gases, 1, 21.0, DEEP.settings)
    batch = Batch(DEEP.gases, [DEEP.rungs, travel], DEEP.settings, DEEP.water, 90.0)
    found = batch.solve_dives(
        rows_until(ROWS, at_min),
        DEEP.tissues,
        ladder=np.where(at_min <= 1.7, 1, 0),
        keep_legs=True,
    )
    assert (found.outcome == 0).all()
    assert found.runtime_min[-1] == DEEP.solve().runtime_min
    assert found.legs_of(299) == DEEP.solve().legs
    assert found.leg_count.max() < found.leg_rows.shape[1]


def test_a_dive_without_a_schedule_is_data():
    start = np.array([t.n2_bar + t.he_bar for t in (DEEP.tissues, SATURATED)])
    batch = batch_of(DEEP)
    found = batch.solve_dives(
        ROWS, start, gradients=([0.3, 0.01], [0.8, 0.01]), keep_ends=True, keep_legs=True
    )
    assert found.outcome_of(0) is Outcome.SOLVED
    assert found.outcome_of(1) is Outcome.TOO_LONG
    assert np.isnan(found.runtime_min[1])
    assert np.isnan(found.stop_min[1]).all()
    assert np.isnan(found.end_bar[1]).all()
    with pytest.raises(ValueError, match="TOO_LONG"):
        found.legs_of(1)
    assert "24 h" in refusal(Outcome.TOO_LONG, DEEP.settings, 10).what


@pytest.mark.parametrize("outcome", list(Outcome)[1:])
def test_each_outcome_has_its_words(outcome):
    reason = refusal(outcome, AscentSettings(), 10)
    assert reason.what
    assert reason.cure


def test_breaks_leave_room_for_their_legs():
    case = deep_case(60.0, breaks=OxygenBreaks(1, 1))
    found = batch_of(case).solve_dives(planned_rows(case.planned), case.tissues, keep_legs=True)
    assert found.outcome_of(0) is Outcome.SOLVED
    assert found.legs_of(0) == case.solve().legs
    assert found.leg_count[0] > 100


def test_no_dives_give_no_results():
    found = batch_of(DEEP).solve_dives(np.zeros((0, 4, 5)), DEEP.tissues)
    assert len(found) == 0


def test_arrays_that_may_not_be_written_to_are_taken():
    rows = longer(2)
    rows.flags.writeable = False
    assert (batch_of(DEEP).solve_dives(rows, DEEP.tissues).outcome == 0).all()


def planned(**changes):
    rows = ROWS.copy()
    for column, value in changes.items():
        rows[3, ["kind", "from_m", "to_m", "minutes", "gas"].index(column)] = value
    return rows


@pytest.mark.parametrize(
    ("call", "message"),
    [
        ({"planned": np.zeros((4, 4))}, "planned legs have the shape"),
        ({"planned": np.zeros((3, 4, 5))}, "take no time"),
        ({"planned": planned(to_m=np.nan)}, "a planned depth of nan"),
        ({"planned": planned(to_m=91.0)}, "a planned depth of 91 m"),
        ({"planned": planned(minutes=-1.0)}, "a planned time"),
        ({"planned": planned(gas=3)}, "a planned gas with the number of 3"),
        ({"planned": planned(gas=0.5)}, "not whole"),
        ({"planned": planned(kind=9)}, "a kind of leg"),
        ({"planned": "deep"}, "not an array of numbers"),
        ({"start": np.zeros((2, 16))}, "tensions at the start have the shape"),
        ({"start": np.zeros(32)}, "without nitrogen"),
        ({"start": np.full(32, np.inf)}, "a tension of inf"),
        ({"ladder": 1}, "a ladder with the number of 1"),
        ({"ladder": -1}, "a ladder with the number of -1"),
        ({"gradients": (0.9, 0.8)}, "low gradient factor is above"),
        ({"gradients": (np.nan, 0.8)}, "a gradient factor of nan"),
        ({"gradients": (0.3, 1.2)}, "a gradient factor of 1.2"),
        ({"gradients": ([0.3, 0.4], [0.8, 0.8, 0.8])}, "do not belong together"),
        ({"gradients": ([[0.3]], 0.8)}, "shape"),
    ],
)
def test_what_does_not_fit_is_refused(call, message):
    given = {"planned": ROWS, "start": DEEP.tissues} | call
    with pytest.raises(InputError, match=message):
        batch_of(DEEP).solve_dives(given.pop("planned"), given.pop("start"), **given)


def test_the_wrong_dive_is_named():
    rows = longer(5)
    rows[3, 2, 2] = -1.0
    with pytest.raises(InputError, match="dive 4"):
        batch_of(DEEP).solve_dives(rows, DEEP.tissues)


def test_an_ascent_that_its_ladder_does_not_serve_is_refused():
    shallow = ladder(DEEP.gases, 1, 21.0, DEEP.settings)
    batch = Batch(DEEP.gases, [DEEP.rungs, shallow], DEEP.settings, DEEP.water, 90.0)
    with pytest.raises(InputError, match="no gas somewhere on the way up from 24 m"):
        batch.solve_ascents([21.0, 24.0], 5.0, 1, DEEP.tissues, ladder=1)


def test_a_batch_without_gases_or_out_of_depth_is_refused():
    with pytest.raises(InputError):
        Batch([], [DEEP.rungs], DEEP.settings, DEEP.water, 90.0)
    with pytest.raises(InputError):
        Batch(DEEP.gases, [], DEEP.settings, DEEP.water, 90.0)
    with pytest.raises(InputError, match="gas 2"):
        Batch(DEEP.gases[:2], [DEEP.rungs], DEEP.settings, DEEP.water, 90.0)
    with pytest.raises(InputError, match="a deepest depth"):
        batch_of(DEEP, deepest_m=1e9)


def test_a_moment_outside_the_planned_legs_is_refused():
    with pytest.raises(InputError, match="a moment lies outside"):
        rows_until(ROWS, np.array([0.0]))
    with pytest.raises(InputError, match="a moment lies outside"):
        rows_until(ROWS, np.array([20.1]))
