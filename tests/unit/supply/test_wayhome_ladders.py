"""Ladders of sets of gases: the solver's where all gases are there, and no gas above its floor."""

from __future__ import annotations

import numpy as np
import pytest

from slatewright.decompression.settings import OxygenBreaks
from slatewright.dive.gases import locker
from slatewright.dive.way_up import way_up
from slatewright.supply.wayhome.ladders import NO_GAS, LadderBook, Reading
from slatewright.supply.wayhome.rules import WayHomeRules
from unit.supply.wayhome_dives import deep, gas, plan, quarry


def book_of(dive_plan):
    gases = locker(dive_plan)
    return LadderBook(dive_plan, gases, WayHomeRules(), int(dive_plan.deepest_m / 3.0)), gases


WALL = plan(
    [
        gas("10/70", "bottom"),
        gas("21/35", "travel", 36.0),
        gas("21/35", "decompression", 45.0),
        gas("EAN50", "decompression", 21.0),
        gas("O2", "decompression", 6.0),
    ],
    (96.0, 18.0),
    last_stop_m=3.0,
    breaks=OxygenBreaks(12, 6),
)


@pytest.mark.parametrize("dive_plan", [quarry(), deep(), WALL])
def test_all_gases_as_planned_is_the_ladder_of_the_plan(dive_plan):
    book, gases = book_of(dive_plan)
    bottom = dive_plan.bottom_gases[0].mix
    planned = way_up(dive_plan, gases, bottom, dive_plan.deepest_m)
    rungs = book.rungs(frozenset(range(len(gases.mixes))), Reading.PLANNED)
    ours = book.ladders[rungs.number]
    last = dive_plan.settings.last_level
    assert ours.gas_at_level[last:] == planned.gas_at_level[last:]
    assert ours.pause_at_level[last:] == planned.pause_at_level[last:]
    assert rungs.leads_up.all()
    assert not rungs.over_bar.any()
    assert not rungs.under_bar.any()


def test_hypoxic_gas_leads_no_higher_than_its_floor():
    book, gases = book_of(deep())
    rungs = book.rungs(frozenset([0]), Reading.DEEPEST)
    assert str(gases.mixes[0]) == "10/70"
    assert not rungs.leads_up[2:].any()
    assert book.ladders[rungs.number].gas_at_level[4] == 0  # from 12 m to 9 m it may be breathed
    assert (rungs.gap_from_m, rungs.gap_to_m) == (9.0, 0.0)


def test_emergency_lets_it_lead_a_little_higher():
    book, _ = book_of(deep())
    within = book.rungs(frozenset([0, 2]), Reading.DEEPEST)  # 10/70 and oxygen
    beyond = book.rungs(frozenset([0, 2]), Reading.GAPS)
    assert not within.leads_up[-1]
    assert beyond.leads_up[-1]  # 10/70 to 6 m at 0.161 bar
    assert beyond.under_bar[-1] == pytest.approx(0.18 - 0.1 * (1.01325 + 0.6))
    assert beyond.over_bar[-1] == 0.0


def test_gaps_are_filled_and_the_rest_is_left_as_the_limits_have_it():
    dive_plan = quarry(depth_m=75.0)  # 18/45 has 1.53 bar there
    book, _ = book_of(dive_plan)
    everything = frozenset(range(3))
    numbers = [
        book.rungs(everything, reading).number
        for reading in (Reading.DEEPEST, Reading.GAPS, Reading.EMERGENCY)
    ]
    within, filled, beyond = (book.ladders[number].gas_at_level for number in numbers)
    assert within[25] == NO_GAS
    assert filled[25] == 0
    assert filled[2:20] == within[2:20]
    assert beyond[8] == 1  # EAN50 at 24 m has 1.71 bar: only where everything goes
    assert within[8] == 0


def test_a_set_without_a_gas_is_found_again():
    book, _ = book_of(WALL)
    every = book.rungs(frozenset(range(4)), Reading.PLANNED)
    book.close(every)
    without = [book.every[place] for place in book.without(every)]
    assert [rungs.gases for rungs in without] == [frozenset(range(4)) - {i} for i in range(4)]
    assert {rungs.reading for rungs in without} == {Reading.PLANNED}
    # of a set that lost oxygen all others can be lost too, and oxygen makes no difference any more
    again = book.without(without[3])
    assert again[3] == without[3].index
    assert book.every[again[0]].gases == frozenset([1, 2])


def test_the_gas_in_the_mouth_stays_if_it_is_at_hand():
    book, gases = book_of(WALL)
    own = book.rungs(frozenset([0, 1, 2]), Reading.PLANNED)
    mouth = np.array([0, 3, 3])
    depth_m = np.array([40.0, 6.0, 20.0])
    (start,) = book.start_gases([own], mouth, depth_m, depth_m // 3 * 3)
    # oxygen lost at 6 m and at 20 m: EAN50 instead; 10/70 in the mouth at 40 m stays
    assert [str(gases.mixes[i]) for i in start] == ["10/70", "EAN50", "EAN50"]
