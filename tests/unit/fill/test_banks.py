"""Banks: the cascade against every other order, booster limits, joining, the order of fills."""

from __future__ import annotations

from itertools import permutations

import pytest

from slatewright.errors import InputError, NoSafeAnswer
from slatewright.fill.bank_order import Job, best_order, fill_in_order
from slatewright.fill.banks import bank_of, draw
from slatewright.fill.booster import Booster
from slatewright.fill.joining import join
from slatewright.fill.prices import Offer
from slatewright.fill.room import Source
from slatewright.fill.state import pressure_of
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import Mixture
from unit.fill.fillroom import AIR_SOURCE, OXYGEN_SOURCE, ROOM_K, cylinder, room

PUMP = Booster(25.0, 250.0, 6.0)
PLENTY = 1e6


def bank(*gauges, litres=50.0):
    names = [(f"bank {i}", litres, bar) for i, bar in enumerate(gauges)]
    return bank_of(HELIUM, names)


def test_the_cascade_fills_highest_of_all_orders():
    three = bank(60.0, 180.0, 110.0)
    ways = {
        order: draw(three, None, 24.0, ROOM_K, PLENTY, order=order)
        for order in permutations(range(3))
    }
    reached = {order: pressure_of(way.contents, 24.0, ROOM_K) for order, way in ways.items()}
    cascade = draw(three, None, 24.0, ROOM_K, PLENTY)
    assert pressure_of(cascade.contents, 24.0, ROOM_K) == pytest.approx(max(reached.values()))
    assert [move.cylinder for move in cascade.moves] == ["bank 0", "bank 2", "bank 1"]
    assert max(reached, key=reached.get) == (0, 2, 1)
    assert reached[1, 0, 2] < max(reached.values()) - 5.0


def test_pressures_are_equal_after_equalising():
    drawn = draw(bank(150.0), None, 50.0, ROOM_K, PLENTY)
    (move,) = drawn.moves
    assert move.receiver_pressure_bar == pytest.approx(move.cylinder_pressure_bar, abs=1e-6)
    assert drawn.short_mol > 0.0
    assert not drawn.enough


def test_no_more_goes_in_than_was_asked_for():
    drawn = draw(bank(150.0, 200.0), None, 12.0, ROOM_K, 10.0)
    assert drawn.enough
    assert drawn.contents.total_mol == pytest.approx(10.0, abs=1e-9)
    assert bank(150.0, 200.0).amount_mol - drawn.bank.amount_mol == pytest.approx(10.0, abs=1e-9)


def test_the_booster_keeps_its_limits():
    drawn = draw(bank(100.0, 40.0), None, 12.0, ROOM_K, PLENTY, booster=PUMP)
    reached = pressure_of(drawn.contents, 12.0, ROOM_K) - 1.01325
    assert reached <= 250.0 + 1e-6
    assert min(drawn.bank.gauges_bar()) >= 25.0 - 1e-6
    ratio = [m.receiver_pressure_bar / m.cylinder_pressure_bar for m in drawn.moves if m.boosted]
    assert ratio
    assert max(ratio) <= 6.0 + 1e-6


def test_below_its_inlet_a_booster_takes_nothing():
    drawn = draw(bank(20.0), None, 12.0, ROOM_K, PLENTY, booster=PUMP)
    assert [move.boosted for move in drawn.moves] == [False]


def test_an_outlet_limit_binds():
    low = Booster(5.0, 120.0, 50.0)
    drawn = draw(bank(100.0, 100.0), None, 12.0, ROOM_K, PLENTY, booster=low)
    assert pressure_of(drawn.contents, 12.0, ROOM_K) == pytest.approx(121.01325, abs=1e-6)


@pytest.mark.parametrize("limits", [(50.0, 40.0, 8.0), (-1.0, 200.0, 8.0), (20.0, 200.0, 1.0)])
def test_no_booster(limits):
    with pytest.raises(InputError, match="booster"):
        Booster(*limits)


@pytest.mark.parametrize("sizes", [[], [("a", 50.0, 200.0)] * 2, [("a", 0.0, 10.0)],
                                   [("a", 50.0, -1.0)]])  # fmt: skip
def test_no_bank(sizes):
    with pytest.raises(InputError):
        bank_of(HELIUM, sizes)


def test_joining_is_the_same_either_way_round():
    a, b = cylinder("10/70", 200.0).contents, cylinder("air", 50.0).contents
    one, other = join(a, 12.0, b, 12.0), join(b, 12.0, a, 12.0)
    assert one.pressure_bar == other.pressure_bar
    assert one.first == other.second
    assert one.first.he == pytest.approx(0.7)  # what flows out does not change what stays
    assert 0.0 < one.second.he < 0.7


OFFER = {"helium": (Offer("full", "helium", 50.0, 200.0),)}


def jobs(*rows):
    return [
        Job(cylinder(holds, bar, litres, label=f"{i}"), Mixture.parse(mix), to)
        for i, (holds, bar, litres, mix, to) in enumerate(rows)
    ]


CASES = [
    (
        jobs(
            ("air", 0, 24, "10/70", 200),
            ("air", 0, 12, "21/35", 200),
            ("18/45", 90, 24, "18/45", 220),
            ("air", 0, 12, "15/55", 200),
        ),
        (140.0, 75.0, 30.0),
    ),
    (
        jobs(
            ("air", 0, 12, "21/35", 200),
            ("air", 0, 12, "50/20", 200),
            ("air", 0, 24, "18/45", 200),
        ),
        (70.0, 45.0),
    ),
    (
        jobs(
            ("air", 0, 12, "10/70", 210),
            ("air", 0, 12, "21/35", 180),
            ("air", 0, 12, "18/45", 200),
            ("air", 0, 12, "25/25", 200),
        ),
        (165.0, 60.0),
    ),
]


def helium_room(gauges):
    return room(Source("helium", HELIUM, bank=bank(*gauges)), OXYGEN_SOURCE, AIR_SOURCE)


@pytest.mark.parametrize(("todo", "gauges"), CASES)
def test_the_best_order_is_the_best_of_all(todo, gauges):
    made = helium_room(gauges)
    found = best_order(todo, made, OFFER)
    assert found.exact
    assert not fill_in_order(todo, made, OFFER).exact  # nobody has looked for another

    def worth(done):
        return (done.count, -round(max(done.room.sources[0].bank.gauges_bar()), 6))

    every = [worth(fill_in_order(some, made, OFFER)) for some in permutations(todo)]
    assert worth(found) == min(every)
    assert len(set(every)) > 1  # the order does matter here
    assert len(found.blends) == len(todo)


def test_alike_cylinders_count_as_one():
    todo = jobs(*[("air", 0, 12, "18/45", 200)] * 9)
    assert best_order(todo, helium_room((150.0, 90.0)), OFFER).exact


def test_too_many_orders_are_a_rule_of_thumb_and_said_so():
    todo = jobs(*[("air", 0, 12, f"18/{he}", 200) for he in range(31, 43)])
    found = best_order(todo, helium_room((150.0, 90.0)), OFFER)
    assert not found.exact
    assert len(found.blends) == 12


def test_what_no_supply_can_do_is_refused():
    todo = jobs(("air", 0, 12, "10/85", 230))
    low = {"helium": (Offer("low", "helium", 50.0, 150.0),)}
    with pytest.raises(NoSafeAnswer, match="no supply brings it"):
        fill_in_order(todo, helium_room((100.0,)), low)
