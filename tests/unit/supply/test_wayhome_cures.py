"""Cures are true: with each of them the failure has a way home from every minute."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright.dive.plan import Level
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_gas_mol
from slatewright.physics.water import Water
from slatewright.supply.cylinders import contents_mol
from slatewright.supply.kit import Place
from slatewright.supply.wayhome import (
    CureKind,
    Verdict,
    cures_of,
    planned_dive,
    refusal_of,
    way_home,
)
from slatewright.supply.wayhome.filling import fills_of
from slatewright.supply.wayhome.grid import Grid
from slatewright.supply.wayhome.tasks import Trial
from unit.supply.kits import carried, diver
from unit.supply.wayhome_dives import deep, gas, pair, plan, quarry, solo, team

AIR = Mixture(0.21)


def cures(grid, name):
    return {cure.kind: cure for cure in cures_of(grid, grid.row_of(name))}


def bounce(minutes=20.0):
    return plan([gas("air", "bottom")], (36.0, minutes), gradient_low=0.7, gradient_high=0.85)


def test_more_gas_in_the_partners_cylinder():
    dive = planned_dive(bounce())
    group = pair(dive.plan, back_l=17.0)
    grid = way_home(dive, group)
    found = cures(grid, "own air lost")[CureKind.MORE_GAS]
    ((mix, free_l),) = found.gases
    assert mix == AIR
    failure = (grid.failures[grid.row_of("own air lost")],)

    def has_way(litres):
        trial = Trial(more_mol={AIR: free_gas_mol(AIR, litres)})
        return Grid(dive, group, grid.rules, failure, trial).has_way_home

    assert has_way(free_l)
    assert not has_way(free_l * 0.8)
    # and so it is when the cylinders are really filled like that
    bars = {fill.diver: fill.gauge_bar for fill in found.fills}
    filled = replace(
        group,
        divers=tuple(
            replace(d, kit=tuple(replace(k, start_gauge_bar=bars[d.name]) for k in d.kit))
            for d in group.divers
        ),
    )
    assert all(fill.fits for fill in found.fills)
    assert way_home(dive, filled, failures=failure).has_way_home


def test_less_time():
    dive = planned_dive(bounce())
    group = pair(dive.plan, back_l=14.0)
    grid = way_home(dive, group)
    found = cures(grid, "own air lost")[CureKind.LESS_TIME]
    failure = (grid.failures[grid.row_of("own air lost")],)

    def has_way(minute):
        shorter = replace(dive.plan, levels=(Level(36.0, minute),))
        return way_home(planned_dive(shorter), group, failures=failure).has_way_home

    assert has_way(found.leave_at_min)
    assert not has_way(found.leave_at_min + 1)


def test_a_cylinder_that_is_not_lost_with_the_others():
    dive = planned_dive(bounce())
    kit = (carried("air", Place.BACK, 24.0, bar=200.0),)
    grid = way_home(dive, team(diver(*kit)))
    found = cures(grid, "own air lost")
    assert set(found) == {CureKind.SPARE}  # more in the same cylinder is lost with it
    ((mix, free_l),) = found[CureKind.SPARE].gases
    # by hand: the worst minute is the last one at 36 m; a way up without stops is 4 min at
    # 18 L/min and a minute at 30 L/min: at least 30 x 4.6 + 4 x 18 x 2.8 free litres
    assert free_l > 330.0
    trial = Trial(spare_mol={mix: free_gas_mol(mix, free_l)})
    failure = (grid.failures[grid.row_of("own air lost")],)
    assert Grid(dive, grid.team, grid.rules, failure, trial).has_way_home


def test_a_bottom_gas_that_is_breathable_to_the_surface():
    """At 61 m up to 19 % oxygen keeps 1.4 bar, and 18 % can be breathed at the surface."""
    gases = [
        gas("15/55", "bottom"),
        gas("EAN50", "travel", 12.0),
        gas("EAN50", "decompression", 21.0),
    ]
    dive = planned_dive(plan(gases, (60.0, 15.0)))
    grid = way_home(dive, solo(dive.plan, back_l=80.0))
    lost = grid.cell(grid.row_of("EAN50 lost"), 15)
    assert lost.verdict is Verdict.NO_WAY
    found = cures(grid, "EAN50 lost")[CureKind.OTHER_MIX]
    assert found.mix == Mixture(0.18, 0.55)


def test_no_other_mix_where_none_keeps_its_limit():
    dive = planned_dive(deep())
    grid = way_home(dive, solo(dive.plan))
    assert CureKind.OTHER_MIX not in cures(grid, "EAN50 and O2 lost")


def test_the_refusal_names_minute_failure_and_cure():
    dive = planned_dive(bounce())
    grid = way_home(dive, team(diver(carried("air", Place.BACK, 24.0, bar=200.0))))
    refusal = refusal_of(grid)
    assert refusal is not None
    first = refusal.reasons[0]
    assert first.what.startswith("from minute 1 (20 m) there is no way home with own air lost")
    assert "in a cylinder of its own" in first.cure


def test_what_has_a_way_home_needs_no_cure():
    dive = planned_dive(quarry())
    grid = way_home(dive, pair(dive.plan))
    assert all(cures_of(grid, number) == () for number in range(len(grid.failures)))


def test_fills_of_more_gas():
    """What the gauge is to show holds so much more, and a bar less does not."""
    (held,) = kit = (carried("air", Place.BACK, 11.1, bar=180.0),)
    (fill,) = fills_of(team(diver(*kit)), {AIR: 400.0}, Water())
    more_mol = contents_mol(held.cylinder, AIR, 180.0, held.fill_temperature_k)
    more_mol += free_gas_mol(AIR, 400.0)
    assert fill.fits
    at, under = (
        contents_mol(held.cylinder, AIR, fill.gauge_bar - less, held.fill_temperature_k)
        for less in (0.0, 1.0)
    )
    assert under < more_mol <= at
    assert fill.water_volume_l == pytest.approx(
        11.1 * more_mol / (more_mol - free_gas_mol(AIR, 400.0)), abs=0.1
    )
    (much,) = fills_of(team(diver(*kit)), {AIR: 5000.0}, Water())
    assert not much.fits
