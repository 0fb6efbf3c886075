"""The way-home grid on dives whose answers are known by reasoning."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from slatewright.decompression.ascent import solve_dive
from slatewright.decompression.leg import LegKind
from slatewright.dive.plan import Level
from slatewright.dive.solving import solve_plan
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.supply.kit import Place, Rmv
from slatewright.supply.wayhome import (
    Columns,
    Failure,
    FailureKind,
    Verdict,
    as_document,
    failures_of,
    planned_dive,
    refusal_of,
    table_of,
    way_home,
)
from slatewright.supply.wayhome.rules import WayHomeRules
from unit.supply.kits import CALM, carried, diver
from unit.supply.wayhome_dives import deep, gas, kit_of, pair, plan, quarry, solo, team

R = 8.314462618
EAN50, O2, BOTTOM = Mixture(0.5), Mixture(1.0), Mixture(0.18, 0.45)


def row(grid, name):
    return grid.row_of(name)


def cell(grid, name, minute):
    return grid.cell(row(grid, name), minute)


def without(dive_plan, mix):
    return replace(dive_plan, gases=tuple(g for g in dive_plan.gases if g.mix != mix))


def later(dive_plan, minutes):
    last = dive_plan.levels[-1]
    level = Level(last.depth_m, last.leave_at_min + minutes)
    return replace(dive_plan, levels=(*dive_plan.levels[:-1], level))


def test_early_ascent_at_the_end_of_the_bottom_is_the_plan_itself():
    dive = planned_dive(quarry())
    found = cell(way_home(dive, solo(dive.plan)), "early ascent", 20)
    assert found.verdict is Verdict.HOME
    assert found.surfaced_min == pytest.approx(dive.legs[-1].end_min, abs=1e-9)


@pytest.mark.parametrize("minute", [8, 13, 19])
def test_early_ascent_is_a_shorter_dive(minute):
    dive = planned_dive(quarry())
    shorter = planned_dive(later(dive.plan, minute - 20.0))
    found = cell(way_home(dive, solo(dive.plan)), "early ascent", minute)
    assert found.surfaced_min == pytest.approx(shorter.legs[-1].end_min, abs=1e-9)


def test_early_ascent_during_the_stops_goes_on_as_planned():
    """The line of the plan stays: an ascent from the middle of the stops takes no longer."""
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan))
    runtime_min = dive.legs[-1].end_min
    first = next(leg.start_min for leg in dive.legs if leg.from_m == leg.to_m == dive.first_stop_m)
    as_planned = 0
    for minute in grid.minutes:
        under_way = next(leg for leg in dive.legs if leg.end_min > minute)
        found = cell(grid, "early ascent", minute)
        if minute > 20:
            # a change of gas that is under way begins anew: up to its minute, and what follows
            assert runtime_min - 1e-9 <= found.surfaced_min <= runtime_min + 3.0
        if minute > first and not under_way.switching:
            assert found.surfaced_min == pytest.approx(runtime_min, abs=1e-9)
            as_planned += 1
    assert as_planned > 20


def test_lost_oxygen_is_the_schedule_without_oxygen():
    """The team stays a minute to sort it out, and goes up on EAN50: a plan without oxygen."""
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan, {"problem_min": 1.0}))
    direct = planned_dive(without(later(dive.plan, 1.0), O2))
    found = cell(grid, "O2 lost", 20)
    assert found.verdict is Verdict.HOME
    assert found.surfaced_min == pytest.approx(direct.legs[-1].end_min, abs=1e-9)
    assert found.surfaced_min > dive.legs[-1].end_min + 5.0
    assert set(found.gases) == {BOTTOM, EAN50}


def test_lost_pair_is_the_schedule_without_both():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan, {"problem_min": 2.0}))
    direct = planned_dive(without(without(later(dive.plan, 2.0), O2), EAN50))
    found = cell(grid, "EAN50 and O2 lost", 20)
    assert found.surfaced_min == pytest.approx(direct.legs[-1].end_min, abs=1e-9)


def test_a_delay_is_a_longer_dive():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan), WayHomeRules(delays_min=(4.0,)))
    longer = planned_dive(later(dive.plan, 4.0))
    found = cell(grid, "4 min delay", 20)
    assert found.surfaced_min == pytest.approx(longer.legs[-1].end_min, abs=1e-9)


def test_deeper_is_a_deeper_dive_at_the_same_times():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan))
    solved = solve_plan(dive.plan)
    legs = [
        replace(leg, from_m=leg.from_m + 6.0 * (leg.from_m > 50), to_m=leg.to_m + 6.0)
        for leg in solved.down.legs
    ]
    deeper = solve_plan(quarry(depth_m=57.0))
    direct = solve_dive(
        legs, solved.gases.rising, deeper.rungs, dive.plan.settings, dive.plan.water, solved.start
    )
    found = cell(grid, "deeper by 2 levels", 20)
    assert found.depth_m == pytest.approx(57.0)
    assert found.surfaced_min == pytest.approx(direct.legs[-1].end_min, abs=1e-9)
    assert cell(grid, "deeper by 2 levels", 25).verdict is Verdict.NOT_MEANT


def test_a_slow_ascent_is_a_plan_with_slow_rates():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan), WayHomeRules(slower_share=0.5))
    slow = planned_dive(
        quarry(to_first_stop_m_per_min=4.5, between_stops_m_per_min=4.5, to_surface_m_per_min=4.5)
    )
    found = cell(grid, "slower ascent", 20)
    assert found.surfaced_min == pytest.approx(slow.legs[-1].end_min, abs=1e-9)


def test_hypoxic_bottom_gas_is_no_way_home_above_its_floor():
    """10/70 holds 0.18 bar from 7.9 m down: without EAN50 and oxygen nobody gets above it."""
    dive = planned_dive(deep())
    grid = way_home(dive, solo(dive.plan))
    found = cell(grid, "EAN50 and O2 lost", 20)
    assert found.verdict is Verdict.NO_WAY
    assert found.lacking == ()
    assert (found.nothing_from_m, found.nothing_to_m) == (9.0, 0.0)
    assert "10/70 from 7.9 m down" in found.why  # (0.18 / 0.1 - 1.01325) / 0.1 = 7.87 m
    summary = grid.rows[row(grid, "EAN50 and O2 lost")]
    assert summary.first_without_min == 1  # on the way down on EAN50 already
    assert not grid.has_way_home


def test_one_lost_gas_of_the_same_dive_has_a_way_home():
    dive = planned_dive(deep())
    grid = way_home(dive, solo(dive.plan))
    assert grid.rows[row(grid, "O2 lost")].first_without_min is None
    # without EAN50 there is nothing from the floor of 10/70 at 7.9 m to the oxygen at 6 m
    assert cell(grid, "EAN50 lost", 20).verdict is not Verdict.HOME


def test_own_supply_lost_without_a_partner_has_no_way_home():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan))
    found = cell(grid, "own 18/45 lost", 15)
    assert found.verdict is Verdict.NO_WAY
    assert found.nothing_from_m == pytest.approx(51.0)
    # at 21 m there is EAN50
    at_21 = next(leg for leg in dive.legs if leg.kind is LegKind.STOP and leg.from_m == 21.0)
    minute = int(-(-at_21.start_min // 1)) + 1
    assert cell(grid, "own 18/45 lost", minute).verdict is Verdict.HOME


def test_single_cylinder_dive_without_partner_or_other_gas():
    dive_plan = plan([gas("air", "bottom")], (30.0, 15.0))
    dive = planned_dive(dive_plan)
    grid = way_home(dive, solo(dive_plan))
    lost = grid.rows[row(grid, "own air lost")]
    assert lost.first_without_min == 1
    assert lost.minutes_without == len(grid.minutes)
    assert "nothing is left to breathe" in cell(grid, "own air lost", 5).why


def shared_ascent():
    """30 m on air for 15 min, no stops; the partner has one cylinder for both."""
    dive_plan = plan(
        [gas("air", "bottom")], (30.0, 15.0), gradient_low=0.9, gradient_high=0.9, last_stop_m=3.0
    )
    rmv = (Rmv(18.0, 22.0, 15.0, 30.0), Rmv(16.0, 20.0, 14.0, 35.0))
    return dive_plan, rmv


def test_sharing_is_charged_to_the_partner_at_stressed_breathing():
    """By hand: 2 min at 30 m and the ascent of 30/9 min, 30 + 35 L/min, all from one cylinder."""
    dive_plan, rmv = shared_ascent()
    dive = planned_dive(dive_plan)
    kit = (carried("air", Place.BACK, 12.0, 2, bar=200.0, label="twin"),)
    divers = [diver(*kit, rmv=each, name=name) for name, each in zip("AB", rmv, strict=True)]
    found = cell(way_home(dive, team(*divers)), "own air lost", 15)
    assert found.verdict is Verdict.HOME
    assert found.surfaced_min == pytest.approx(17.0 + 30.0 / 9.0)
    assert found.shared == (Mixture(0.21),)
    breathes = 1e5 / 1000.0 / (R * 293.15)  # mol in a litre at one bar
    at_30, up = 1.01325 + 3.0, 1.01325 + 1.5
    shared_mol = (30.0 + 35.0) * (2.0 * at_30 + 30.0 / 9.0 * up) * breathes
    down = 1.5 * up + 13.5 * at_30
    left = []
    for each in rmv:  # the partner's own dive up to there
        full = 24.0 * (contents(200.0) - contents(10.0))
        left.append((full - each.swimming_l_per_min * down * breathes - shared_mol) / full)
    assert found.scarce.share == pytest.approx(min(left), abs=1e-6)


def contents(bar):
    from slatewright.physics.real_gas import contents_mol  # noqa: PLC0415 - named where it is used

    return contents_mol(Mixture(0.21), bar + 1.01325, 1.0, 293.15)


def test_the_least_well_supplied_diver_decides():
    dive_plan = quarry()
    dive = planned_dive(dive_plan)
    hungry = replace(CALM, swimming_l_per_min=24.0, resting_l_per_min=21.0)
    kit = kit_of(dive_plan, back_l=24.0, stage_l=11.1)
    both = team(diver(*kit, name="A"), diver(*kit, rmv=hungry, name="B"))
    alike = team(diver(*kit, name="A"), diver(*kit, name="B"))
    unequal, equal = way_home(dive, both), way_home(dive, alike)
    assert cell(unequal, "partner absent", 20).diver == "B"
    share, equal_share = (
        cell(grid, "partner absent", 20).scarce.share for grid in (unequal, equal)
    )
    assert share < equal_share - 0.05
    alone = way_home(dive, team(diver(*kit, rmv=hungry, name="B")))
    failure = Failure(FailureKind.PARTNER_ABSENT, "partner absent", alone=True, sorting_min=1.0)
    by_itself = way_home(dive, alone.team, failures=(failure,))
    assert share == pytest.approx(by_itself.cell(0, 20).scarce.share, abs=1e-12)


def test_three_divers_have_two_donors():
    """Two donors lose together what one loses alone, in proportion to what they have."""
    dive_plan, rmv = shared_ascent()
    dive = planned_dive(dive_plan)
    kit = (carried("air", Place.BACK, 12.0, 2, bar=200.0, label="twin"),)
    two = way_home(dive, team(*(diver(*kit, rmv=rmv[0], name=n) for n in "AB")))
    three = way_home(dive, team(*(diver(*kit, rmv=rmv[0], name=n) for n in "ABC")))
    one_gives = cell(two, "own air lost", 15).scarce.share
    two_give = cell(three, "own air lost", 15).scarce.share
    full = 24.0 * (contents(200.0) - contents(10.0))
    breathes = 1e5 / 1000.0 / (R * 293.15)
    victim = 30.0 * (2.0 * 4.01325 + 30.0 / 9.0 * 2.51325) * breathes
    assert two_give - one_gives == pytest.approx(0.5 * victim / full, abs=1e-9)


def test_one_side_lost_leaves_the_other():
    dive_plan = plan([gas("air", "bottom")], (30.0, 15.0))
    kit = (
        carried("air", Place.LEFT, 12.0, bar=200.0, label="left"),
        carried("air", Place.RIGHT, 12.0, bar=200.0, label="right"),
    )
    grid = way_home(planned_dive(dive_plan), team(diver(*kit)))
    found = cell(grid, "one cylinder of air lost", 10)
    assert found.verdict is Verdict.HOME
    whole = cell(grid, "early ascent", 10)
    # half of what is left is gone; an ascent with a minute's problem takes more on top
    assert found.scarce.share < 0.5 * whole.scarce.share + 0.03


def test_gas_over_its_limit_is_named_as_a_compromise():
    """18/45 at 66 m has 1.37 bar, at 72 m 1.48: over 1.4 by more than the tolerance."""
    dive_plan = quarry(depth_m=66.0, minutes=15.0)
    grid = way_home(planned_dive(dive_plan), solo(dive_plan))
    assert cell(grid, "deeper by 1 level", 12).verdict is Verdict.HOME  # 1.424 bar
    found = cell(grid, "deeper by 2 levels", 12)
    assert found.verdict is Verdict.BEYOND_LIMITS
    assert found.over_bar == pytest.approx(0.18 * (1.01325 + 7.2) - 1.4, abs=1e-9)


def test_too_little_gas_for_the_stops_cuts_them_short():
    dive_plan = plan([gas("21/35", "bottom")], (51.0, 25.0))
    dive = planned_dive(dive_plan)
    plenty = way_home(dive, solo(dive_plan, back_l=60.0))
    scarce = way_home(dive, solo(dive_plan, back_l=36.0))
    whole, cut = (cell(grid, "3 min delay", 25) for grid in (plenty, scarce))
    assert whole.verdict is Verdict.HOME
    assert cut.verdict is Verdict.HURRIED
    assert cut.omitted_min == pytest.approx(whole.surfaced_min - cut.surfaced_min)
    assert dive_plan.settings.gradient_high < cut.gradient_high <= 1.0
    assert cut.scarce.share >= 0.0
    # it is the ascent at those gradient factors
    bent = replace(
        later(dive_plan, 3.0),
        settings=replace(
            dive_plan.settings, gradient_low=cut.gradient_low, gradient_high=cut.gradient_high
        ),
    )
    assert cut.surfaced_min == pytest.approx(planned_dive(bent).legs[-1].end_min, abs=1e-9)


def test_a_gas_that_runs_out_is_left_for_the_next():
    """Oxygen for a few minutes, then back to EAN50: home, and not a minute of oxygen too much."""
    dive_plan = quarry()
    dive = planned_dive(dive_plan)
    grid = way_home(dive, solo(dive_plan, O2=1.5))
    found = cell(grid, "5 min delay", 20)
    assert found.verdict is Verdict.HOME
    assert found.scarce.mix == O2
    assert 0.0 <= found.scarce.share < 0.4
    plenty = cell(way_home(dive, solo(dive_plan)), "5 min delay", 20)
    none = planned_dive(without(later(dive_plan, 5.0), O2)).legs[-1].end_min
    assert plenty.surfaced_min < found.surfaced_min <= none + 2.0


def test_twelve_failures_and_all_pairs():
    dive_plan = plan(
        [
            gas("10/70", "bottom"),
            gas("21/35", "travel", 36.0),
            gas("21/35", "decompression", 45.0),
            gas("EAN50", "decompression", 21.0),
            gas("O2", "decompression", 6.0),
        ],
        (96.0, 18.0),
    )
    rows = failures_of(dive_plan, pair(dive_plan), WayHomeRules())
    pairs = [set(map(str, f.lost)) for f in rows if f.kind is FailureKind.PAIR_LOST]
    assert pairs == [{"21/35", "EAN50"}, {"21/35", "O2"}, {"EAN50", "O2"}]
    assert len(rows) >= 12
    assert len({f.name for f in rows}) == len(rows)


def test_all_minutes_and_those_of_the_stops():
    dive = planned_dive(quarry())
    every = way_home(dive, pair(dive.plan))
    some = way_home(dive, pair(dive.plan), columns=Columns.BOTTOM_AND_STOPS)
    assert every.minutes == tuple(range(1, int(-(-dive.legs[-1].end_min // 1))))
    assert set(some.minutes) < set(every.minutes)
    assert set(range(1, 21)) <= set(some.minutes)
    for number in range(len(every.failures)):
        for minute in some.minutes:
            assert some.cell(number, minute) == every.cell(number, minute)


def test_what_is_breathed_is_drawn():
    dive = planned_dive(deep())
    grid = way_home(dive, pair(dive.plan, back_l=24.0, stage_l=7.0))
    assert grid.largest_imbalance_mol < 1e-9


def test_document_is_plain_data():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan, stage_l=5.0, back_l=24.0))
    document = as_document(grid, cures=False)
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    assert len(document["failures"]) == len(grid.failures)
    assert all(len(line["verdict"]) == len(document["minutes"]) for line in document["failures"])
    assert document["has_way_home"] is False
    assert document["first_failing"] == {"failure": "own 18/45 lost", "minute": 2}


def test_table_says_what_the_grid_says():
    dive = planned_dive(quarry())
    grid = way_home(dive, solo(dive.plan))
    table = table_of(grid)
    for line, verdicts in zip(table.rows, grid.arrays.verdict, strict=True):
        assert len(line.marks) == len(grid.minutes)
        spread = [
            span.verdict
            for span in line.spans
            for minute in grid.minutes
            if span.from_min <= minute <= span.to_min
        ]
        assert spread == verdicts.tolist()
    lost = table.rows[row(grid, "own 18/45 lost")]
    assert lost.first_without_min == 2  # after one minute, at 20 m, there is EAN50
    assert "has no way home" in lost.worst


def test_a_plan_with_a_way_home_is_not_refused():
    dive = planned_dive(quarry())
    assert way_home(dive, pair(dive.plan)).has_way_home
    assert refusal_of(way_home(dive, pair(dive.plan))) is None


def test_a_gas_without_a_cylinder_is_named():
    dive = planned_dive(quarry())
    some = tuple(held for held in kit_of(dive.plan) if held.mix != O2)
    with pytest.raises(InputError, match="O2"):
        way_home(dive, team(diver(*some)))


def test_rules_out_of_range_are_refused():
    for bad in (
        {"delays_min": (0.0,)},
        {"deeper_levels": (0,)},
        {"slower_share": 1.0},
        {"emergency_ppo2_bar": 2.4},
        {"emergency_floor_bar": 0.12},
        {"gradient_steps": 0},
    ):
        with pytest.raises(InputError):
            WayHomeRules(**bad)


def test_what_is_judged_at_a_minute_does_not_depend_on_what_was_planned_after_it():
    """Alone in its grid, and with fewer ways to try than others: its hurried ways are tried too."""
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression", 21.0)]
    verdicts = []
    for minutes in (20.0, 22.0):
        dive = planned_dive(plan(gases, (45.0, minutes), last_stop_m=6.0))
        divers = pair(dive.plan, back_l=24.0, stage_l=11.1, bar=200.0)
        lost = Failure(
            FailureKind.LOST_BY_ALL, "lost by all", lost_by_all=(EAN50,), sorting_min=1.0
        )
        grid = way_home(dive, divers, failures=(lost,))
        verdicts.append([grid.cell(0, minute).verdict for minute in range(1, 20)])
    assert verdicts[0] == verdicts[1]
    assert Verdict.HURRIED in verdicts[0]
