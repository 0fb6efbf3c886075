"""Short schedules against plans that say the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.dive.plan import Level
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.supply.contingencies import (
    ContingencyKind,
    ContingencyRules,
    contingencies_of,
)
from slatewright.supply.wayhome import planned_dive
from unit.supply.wayhome_dives import deep, quarry

EAN50, O2 = Mixture(0.5), Mixture(1.0)


def made(dive, rules=None):
    return {found.name: found for found in contingencies_of(dive, rules)}


def left_at(dive_plan, minute):
    return replace(dive_plan, levels=(Level(dive_plan.levels[-1].depth_m, minute),))


def without(dive_plan, mix):
    return replace(dive_plan, gases=tuple(g for g in dive_plan.gases if g.mix != mix))


def test_the_first_is_the_plan_and_each_has_a_name_of_its_own():
    dive = planned_dive(quarry())
    found = contingencies_of(dive)
    assert found[0].kind is ContingencyKind.PLANNED
    assert found[0].runtime_min == pytest.approx(dive.legs[-1].end_min)
    assert len({each.name for each in found}) == len(found) == 10


def test_rows_of_the_plan():
    dive = planned_dive(quarry())
    rows = contingencies_of(dive)[0].rows
    assert (rows[0].depth_m, rows[0].stop_min, rows[0].until_min) == (51.0, None, 20)
    stops = [leg for leg in dive.legs if leg.kind is LegKind.STOP]
    assert [row.depth_m for row in rows[1:-1]] == sorted({leg.from_m for leg in stops})[::-1]
    for row in rows[1:-1]:
        here = [leg for leg in stops if leg.from_m == row.depth_m]
        assert row.stop_min >= sum(leg.minutes for leg in here) - 1e-6
        assert row.stop_min - 1.0 < sum(leg.minutes for leg in here)
        assert row.until_min >= here[-1].end_min - 1e-6
    gas_at = {row.depth_m: row.gas for row in rows}
    assert gas_at[21.0] == EAN50  # also where the stop is nothing but the change
    assert gas_at[6.0] == O2
    assert rows[-1].depth_m == 0.0
    assert rows[-1].until_min == pytest.approx(dive.legs[-1].end_min, abs=1.0)


def test_longer_and_earlier_are_plans_of_that_length():
    dive = planned_dive(quarry())
    found = made(dive)
    for name, minute in (("3 min longer", 23), ("5 min longer", 25), ("up at 10 min", 10)):
        direct = planned_dive(left_at(dive.plan, float(minute)))
        assert found[name].runtime_min == pytest.approx(direct.legs[-1].end_min), name
        assert found[name].leave_at_min == pytest.approx(minute)


def test_deeper_takes_longer_and_both_the_longest():
    found = made(planned_dive(quarry()))
    planned, one, two, both = (
        found[name].runtime_min
        for name in (
            "as planned",
            "deeper by 1 level",
            "deeper by 2 levels",
            "deeper by 2 levels and 5 min longer",
        )
    )
    assert planned < one < two < both
    assert found["deeper by 2 levels"].depth_m == pytest.approx(57.0)


def test_a_lost_gas_is_a_plan_without_it():
    dive = planned_dive(quarry())
    found = made(dive)
    for mix in (EAN50, O2):
        direct = planned_dive(without(dive.plan, mix))
        assert found[f"{mix} lost"].runtime_min == pytest.approx(direct.legs[-1].end_min)
        assert mix not in {row.gas for row in found[f"{mix} lost"].rows}
        assert found[f"{mix} lost"].lost == mix


def test_a_lost_gas_without_which_nobody_gets_up_has_no_schedule():
    """10/70 ends at its floor of 7.9 m, oxygen begins at 6 m; no slate goes below the floor."""
    lost = made(planned_dive(deep()))["EAN50 lost"]
    assert lost.rows == ()
    assert lost.runtime_min is None
    assert lost.why_none == "from 9 m up to 6 m nothing that is left may be breathed"


def test_gas_over_its_limit_at_the_deeper_depth_is_named():
    found = made(planned_dive(quarry(depth_m=66.0)))
    assert found["deeper by 1 level"].over_limit_bar == 0.0
    over = found["deeper by 2 levels"].over_limit_bar
    assert over == pytest.approx(0.18 * (1.01325 + 7.2) - 1.4)


def test_rules():
    dive = planned_dive(quarry())
    few = contingencies_of(dive, ContingencyRules(deeper_levels=(), longer_min=(2.0,)))
    assert [each.name for each in few] == [
        "as planned",
        "2 min longer",
        "up at 10 min",
        "EAN50 lost",
        "O2 lost",
    ]
    for bad in ({"deeper_levels": (0,)}, {"longer_min": (-1.0,)}):
        with pytest.raises(InputError):
            ContingencyRules(**bad)
