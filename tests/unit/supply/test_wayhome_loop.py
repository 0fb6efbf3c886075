"""The way home from a closed circuit: own and shared bailout, held against one solver."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from slatewright.dive.bailout import bailout_from
from slatewright.dive.house_rules import HouseRules
from slatewright.physics.mixture import Mixture
from slatewright.supply.kit import Place, Rmv
from slatewright.supply.loop_bailout import bailout_needs, bailouts_of
from slatewright.supply.reading import planned
from slatewright.supply.wayhome import Verdict, cures_of, way_home
from slatewright.supply.wayhome.dive import planned_dive

EXAMPLE = Path(__file__).parents[3] / "examples" / "closed-circuit" / "1-the-terrace.toml"
OWN = "loop lost, own bailout"
EAN50 = Mixture(0.5)


@pytest.fixture(scope="module")
def terrace():
    return planned(EXAMPLE, HouseRules())


@pytest.fixture(scope="module")
def grid(terrace):
    return way_home(terrace.dive, terrace.team)


def with_less(team, mix, share):
    """Fill the cylinders of a gas to a share of their pressure."""
    return replace(
        team,
        divers=tuple(
            replace(
                diver,
                kit=tuple(
                    replace(held, start_gauge_bar=held.start_gauge_bar * share)
                    if held.mix == mix and held.place is not Place.LOOP
                    else held
                    for held in diver.kit
                ),
            )
            for diver in team.divers
        ),
    )


def test_each_minute_surfaces_when_the_plain_bailout_does(terrace, grid):
    """`slatewright.dive.bailout` solves each minute by itself, without the grid's ladders."""
    row = grid.row_of(OWN)
    for minute in grid.minutes:
        cell = grid.cell(row, minute)
        alone = bailout_from(terrace.dive, minute, problem_min=terrace.team.rules.problem_min)
        assert cell.verdict is Verdict.HOME
        assert cell.surfaced_min == pytest.approx(alone.solution.runtime_min, abs=1e-6)
        assert set(cell.gases) == set(alone.breathed)


def test_gas_comes_out_as_it_was_breathed(grid):
    assert grid.largest_imbalance_mol < 1e-6


def test_what_feeds_the_loop_is_not_breathed(grid):
    for row in range(len(grid.failures)):
        for minute in grid.minutes:
            for mix in grid.cell(row, minute).gases:
                assert mix in {Mixture(0.18, 0.45), EAN50}


def test_a_partner_on_a_loop_has_all_to_give_and_takes_none(terrace):
    """Half the gas each: alone it ends, with what the partner does not breathe it is enough."""
    team = with_less(terrace.team, EAN50, 0.62)
    grid = way_home(terrace.dive, team)
    own, shared = (grid.rows[grid.row_of(name)] for name in (OWN, "loop lost, bailout shared"))
    everybody = grid.rows[grid.row_of("all loops lost")]
    assert own.worst.verdict > Verdict.HOME
    assert shared.worst.verdict is Verdict.HOME
    assert everybody.worst.verdict > Verdict.HOME
    assert EAN50 in grid.cell(grid.row_of("loop lost, bailout shared"), 22).shared


def test_without_a_way_home_the_stay_is_cut(terrace):
    team = with_less(terrace.team, EAN50, 0.25)
    grid = way_home(terrace.dive, team)
    row = grid.row_of(OWN)
    assert grid.rows[row].first_without_min is not None
    cures = cures_of(grid, row)
    assert cures
    cut = next(cure for cure in cures if cure.leave_at_min is not None)
    assert cut.leave_at_min == 20
    shorter = replace(
        terrace.dive.plan,
        levels=(replace(terrace.dive.plan.levels[0], leave_at_min=20.0),),
    )
    again = way_home(planned_dive(shorter), team)
    assert again.rows[row].first_without_min is None


def test_one_diver_shares_with_nobody(terrace):
    team = replace(terrace.team, divers=terrace.team.divers[:1])
    names = [failure.name for failure in way_home(terrace.dive, team).failures]
    assert OWN in names
    assert not any("shared" in name or "all loops" in name for name in names)


def test_what_is_left_is_that_of_the_gas_sums(terrace):
    """`loop_bailout` charges each minute's ascent to the diver's own cylinders, by itself.

    It takes stress to last until the first stop, the grid as long as the problem does: held against
    each other for a diver who breathes alike at all times.
    """
    calm = replace(terrace.team.divers[0], rmv=Rmv(20, 20, 20, 20))
    team = replace(terrace.team, divers=(calm,))
    grid, (diver,) = way_home(terrace.dive, team), team.divers
    row = grid.row_of(OWN)
    bailouts = bailouts_of(terrace.dive, team.rules.problem_min)
    needs = bailout_needs(bailouts, diver, team, terrace.dive.plan.water)
    short = {need.at_min for need in needs if not need.enough}  # there the grid finds other ways
    compared = [need for need in needs if need.at_min not in short]
    assert len(compared) > 90
    for need in compared:
        scarce = grid.cell(row, round(need.at_min)).scarce
        left = -need.lacking_mol / need.available_mol
        assert left >= scarce.share - 1e-6
        if need.mix == scarce.mix:
            assert scarce.share == pytest.approx(left, abs=1e-6)
