"""The leading compartment on reaching a level, against the second check's own integration."""

from __future__ import annotations

import pytest

from slatewright.decompression.leading import leading_on_reaching
from slatewright.decompression.leg import LegKind
from slatewright.dive.schedule import schedule
from unit.dive.plans import gas, plan_of


def test_it_is_under_its_line_at_every_level_and_nearest_where_the_second_check_has_it():
    plan = plan_of(
        [gas("18/45", "bottom"), gas("EAN50", "decompression"), gas("O2", "decompression")],
        [(60.0, 20.0)],
    )
    dive = schedule(plan)
    rising = [leg for leg in dive.legs if leg.kind is LegKind.ASCENT and not leg.switching]
    found = [
        leading_on_reaching(
            dive.legs, leg.end_min, plan.settings, plan.water, dive.start, dive.first_stop_m
        )
        for leg in rising
    ]
    assert all(one.excess_bar <= 1e-6 for one in found)
    # the second check integrates the dive by itself, and looks at other moments too
    assert max(one.excess_bar for one in found) <= dive.verdict.largest_excess_bar + 1e-6
    assert max(one.excess_bar for one in found) == pytest.approx(
        dive.verdict.largest_excess_bar, abs=2e-3
    )
    # the slower compartments take the lead as the diver comes up
    numbers = [one.number for one in found]
    assert numbers == sorted(numbers)
    assert found[-1].at_m == 0.0
    assert found[-1].gradient == plan.settings.gradient_high
