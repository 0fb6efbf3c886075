"""The bound below which no order of fills gets: never above the best of all orders."""

from __future__ import annotations

from decimal import Decimal
from itertools import permutations, product

import pytest

from slatewright.errors import NoSafeAnswer
from slatewright.fill.bank_order import Job, best_order, fill_in_order
from slatewright.fill.banks import bank_of
from slatewright.fill.blend import prepare
from slatewright.fill.booster import Booster
from slatewright.fill.least_supply import least_count, least_supply
from slatewright.fill.order import order_gas
from slatewright.fill.prices import Offer
from slatewright.fill.room import Choice, Source
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import OXYGEN, Mixture
from unit.fill.fillroom import AIR_SOURCE, OXYGEN_SOURCE, PRICES, cylinder, room
from unit.fill.test_order import SETS, WEEK

LARGE = Offer("large", "helium", 50.0, 200.0, Decimal(540))
SMALL = Offer("small", "helium", 20.0, 200.0, Decimal(230))
PUMP = Booster(25.0, 250.0, 8.0)


def jobs(*rows):
    return tuple(
        Job(cylinder(holds, bar, litres, label=f"{i}"), Mixture.parse(mix), to)
        for i, (holds, bar, litres, mix, to) in enumerate(rows)
    )


CASES = [
    (jobs(("air", 0, 24, "10/70", 200), ("air", 0, 12, "21/35", 200),
          ("18/45", 90, 24, "18/45", 220), ("air", 0, 24, "15/55", 200)), None),
    (jobs(("air", 0, 24, "10/70", 210), ("air", 0, 24, "12/65", 210),
          ("15/55", 80, 24, "10/70", 220), ("air", 0, 12, "50/20", 200)), None),
    (jobs(("air", 0, 24, "10/70", 210), ("air", 0, 24, "12/65", 210),
          ("15/55", 80, 24, "10/70", 220), ("air", 0, 12, "50/20", 200)), PUMP),
]  # fmt: skip


def made(pump, gauges=()):
    bank = bank_of(HELIUM, [(f"bank {i}", 50.0, bar) for i, bar in enumerate(gauges or (1.0,))])
    return room(
        Source("helium", HELIUM, bank=bank, boosted=True), OXYGEN_SOURCE, AIR_SOURCE, booster=pump
    )


@pytest.mark.parametrize(("todo", "pump"), CASES)
@pytest.mark.parametrize("gauges", [(), (120.0,), (80.0, 150.0)])
@pytest.mark.parametrize("offer", [LARGE, SMALL])
def test_no_order_needs_fewer(todo, pump, gauges, offer):
    here = made(pump, gauges)
    prepared = [prepare(job.receiver, job.mix, job.gauge_bar, here) for job in todo]
    bound = least_count(prepared, here, "helium", [offer])
    known = {}
    every = [
        fill_in_order(some, here, {"helium": (offer,)}, known).count for some in permutations(todo)
    ]
    assert bound <= min(every)
    if pump is not None:
        assert bound >= min(every) - 1  # with a booster little but whole numbers is lost


@pytest.mark.parametrize("pump", [None, PUMP])
def test_no_mixture_of_sizes_costs_less_than_the_bound(pump):
    todo = CASES[1][0]
    here = made(pump)
    prepared = [prepare(job.receiver, job.mix, job.gauge_bar, here) for job in todo]
    counts = least_supply(prepared, here, "helium", [LARGE, SMALL], [540.0, 230.0])
    floor = 540 * counts[0] + 230 * counts[1]
    paid, known = [], {}
    for bought in product([LARGE, SMALL], repeat=3):
        for some in permutations(todo):
            done = fill_in_order(some, here, {"helium": (*bought, SMALL)}, known)
            paid.append(sum(offer.price for offer in done.bought["helium"]))
    assert floor <= min(paid)
    assert min(counts) >= 0


def test_nothing_to_buy_is_nothing():
    todo = CASES[0][0]
    here = made(None, (200.0, 200.0, 200.0, 200.0))
    prepared = [prepare(job.receiver, job.mix, job.gauge_bar, here) for job in todo]
    assert least_count(prepared, here, "helium", [LARGE]) == 0
    assert least_supply([], here, "helium", [LARGE, SMALL], [1.0, 1.0]) == (0, 0)


def test_a_pressure_that_no_number_brings_is_refused():
    todo = jobs(("air", 0, 12, "10/85", 230))
    here = made(None)
    prepared = [prepare(job.receiver, job.mix, job.gauge_bar, here) for job in todo]
    with pytest.raises(NoSafeAnswer, match="no number of supply cylinders"):
        least_supply(prepared, here, "helium", [Offer("low", "helium", 50.0, 120.0)], [1.0])


def test_an_order_that_meets_the_bound_says_so():
    """Many fills, far too many orders to go through, and one cylinder is clearly enough."""
    todo = jobs(*[("air", 0, 3, f"{o2}/30", 200) for o2 in range(20, 32)])
    found = best_order(todo, made(None), {"helium": (LARGE,)})
    assert found.count == 1
    assert found.exact


def test_orders_that_cannot_be_done_do_not_stop_the_search():
    """One bank, nothing to buy: high pressure first works, high pressure last does not."""
    todo = jobs(("air", 0, 12, "50/20", 200), ("air", 0, 12, "10/70", 200))
    here = room(
        Source("helium", HELIUM, bank=bank_of(HELIUM, [("A", 30.0, 200.0)])),
        OXYGEN_SOURCE, AIR_SOURCE,
    )  # fmt: skip
    with pytest.raises(NoSafeAnswer):
        fill_in_order(todo, here, {})
    found = best_order(todo, here, {})
    assert [fill.receiver.label for fill in found.blends] == ["1", "0"]
    assert found.exact


def test_sizes_are_mixed_where_that_costs_less():
    boosted = room(
        Source("helium", HELIUM, boosted=True), Source("oxygen", OXYGEN, boosted=True), AIR_SOURCE,
        choice=Choice.LEAST_HELIUM, prices=PRICES, booster=Booster(25.0, 250.0, 8.0),
    )  # fmt: skip
    oxygen = Offer("oxygen", "oxygen", 50.0, 200.0, Decimal(95))
    alone = [order_gas(WEEK, SETS, boosted, (offer, oxygen)) for offer in (LARGE, SMALL)]
    both = order_gas(WEEK, SETS, boosted, (LARGE, SMALL, oxygen))
    assert both.helium.cost <= min(order.helium.cost for order in alone)
    assert both.helium.at_least <= both.helium.count
    assert both.helium.cost_at_least <= both.helium.cost
    if both.helium.cheapest:
        assert both.helium.cost <= min(order.helium.cost for order in alone)
