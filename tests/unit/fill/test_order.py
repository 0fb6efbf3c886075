"""The order: leftovers assigned at least cost, supply counted, dives that drop out."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import permutations

import pytest

from slatewright.errors import InputError, NoSafeAnswer
from slatewright.fill.assignment import Need, Owned, assign
from slatewright.fill.banks import bank_of
from slatewright.fill.blend import blend
from slatewright.fill.booster import Booster
from slatewright.fill.drop_out import without_each_dive
from slatewright.fill.order import order_gas
from slatewright.fill.prices import Offer
from slatewright.fill.receiver import holding
from slatewright.fill.room import Choice, Source
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import OXYGEN, Mixture
from unit.fill.fillroom import AIR_SOURCE, PRICES, ROOM_K, cylinder, room, vessel

OFFERS = (
    Offer("large", "helium", 50.0, 200.0, Decimal(540)),
    Offer("oxygen", "oxygen", 50.0, 200.0, Decimal(95)),
)
BOOSTED = room(
    Source("helium", HELIUM, boosted=True), Source("oxygen", OXYGEN, boosted=True), AIR_SOURCE,
    choice=Choice.LEAST_HELIUM, prices=PRICES, booster=Booster(25.0, 250.0, 8.0),
)  # fmt: skip


def need(dive, mix, left=80.0, owner="Mirren", to=200.0, litres=12.0):
    return Need(dive, owner, vessel(litres), Mixture.parse(mix), to, left)


def owned(count, owner="Mirren", litres=12.0):
    return [Owned(owner, cylinder("air", 0.0, litres, label=f"{owner} {i}")) for i in range(count)]


def helium_of_chain(chain, made):
    """Return the helium of the fills of one cylinder, one after another."""
    inside, total = cylinder("air").contents, 0.0
    for one in chain:
        fill = blend(replace(cylinder(), contents=inside), one.mix, one.gauge_bar, made)
        total += fill.helium_mol
        inside = holding(one.cylinder, one.mix, one.left_gauge_bar, ROOM_K)
    return total


def test_the_assignment_is_the_best_of_all():
    """Two cylinders, two needs a dive, three dives: all 2x2 ways to go on, each worked through."""
    needs = [
        need(1, "10/70", 150.0), need(1, "21/35", 40.0), need(2, "18/45", 30.0),
        need(2, "12/65", 160.0), need(3, "50/15", 50.0), need(3, "15/55", 60.0),
    ]  # fmt: skip
    fills = assign(needs, owned(2), BOOSTED)
    assert len(fills) == 6
    chains: dict[str, list[Need]] = {}
    for fill in fills:
        chains.setdefault(fill.receiver.label, []).append(fill.need)
    ours = sum(helium_of_chain(chain, BOOSTED) for chain in chains.values())
    first, second, third = needs[:2], needs[2:4], needs[4:]
    every = [
        sum(
            helium_of_chain([one, second[b], third[c]], BOOSTED)
            for one, b, c in zip(first, order2, order3, strict=True)
        )
        for order2 in permutations(range(2))
        for order3 in permutations(range(2))
    ]
    assert ours == pytest.approx(min(every), rel=1e-9)
    assert max(every) > min(every) * 1.01


def test_a_leftover_may_wait_for_the_dive_after_next():
    needs = [need(1, "10/70", 150.0), need(2, "EAN32", 50.0), need(3, "10/70", 50.0)]
    fills = assign(needs, owned(2), BOOSTED)
    assert fills[2].after_dive == 1
    assert fills[0].receiver.label == fills[2].receiver.label != fills[1].receiver.label


def test_nobody_takes_the_cylinders_of_another():
    needs = [need(1, "18/45"), need(1, "18/45", owner="Tove")]
    fills = assign(needs, [*owned(1), *owned(1, "Tove")], BOOSTED)
    assert {f.need.owner: f.receiver.label for f in fills} == {
        "Mirren": "Mirren 0",
        "Tove": "Tove 0",
    }
    with pytest.raises(NoSafeAnswer, match="no cylinder"):
        assign(needs, owned(2), BOOSTED)


def test_too_few_cylinders_are_named():
    with pytest.raises(NoSafeAnswer, match="dive 1, Mirren"):
        assign([need(1, "18/45"), need(1, "10/70")], owned(1), BOOSTED)


def test_more_cannot_be_left_than_was_filled():
    with pytest.raises(InputError, match="after the dive"):
        need(1, "18/45", left=210.0)


WEEK = [
    need(dive, mix, owner=who, litres=24.0)
    for dive, mix in enumerate(("18/45", "18/45", "15/55", "10/70"), 1)
    for who in ("Mirren", "Tove")
]
SETS = [*owned(1, litres=24.0), *owned(1, "Tove", litres=24.0)]


def test_an_order_adds_up():
    order = order_gas(WEEK, SETS, BOOSTED, OFFERS)
    helium = sum(fill.helium_mol for fill in order.done.blends)
    pure = order.helium
    assert pure.needed_free_l == pytest.approx(helium * 24.0555, rel=1e-3)  # a mole is 24.06 L
    assert pure.ordered_free_l == pytest.approx(pure.needed_free_l + pure.left_free_l, rel=1e-9)
    assert len(pure.left_gauges_bar) == pure.count
    assert pure.cost == 540 * pure.count
    assert order.cost == pure.cost + order.oxygen.cost


def test_fewer_would_not_do():
    order = order_gas(WEEK, SETS, BOOSTED, OFFERS)
    full_l = order.helium.ordered_free_l / order.helium.count
    usable_l = order.helium.left_free_l
    assert usable_l < full_l + 25.0 * 50.0 * order.helium.count  # what a booster leaves, and a rest


def test_without_a_booster_more_is_left_behind():
    with_pump = order_gas(WEEK, SETS, BOOSTED, OFFERS)
    without = order_gas(WEEK, SETS, BOOSTED, OFFERS, boosted=False)
    assert without.helium.count > with_pump.helium.count
    assert without.helium.needed_free_l == pytest.approx(with_pump.helium.needed_free_l)
    assert without.helium.left_free_l > with_pump.helium.left_free_l
    assert with_pump.boosted
    assert not without.boosted


def test_leftovers_save_helium():
    used = order_gas(WEEK, SETS, BOOSTED, OFFERS)
    new = [*SETS, *(replace(s, receiver=replace(s.receiver, label=f"{s.receiver.label} new {i}"))
                    for i in range(3) for s in SETS)]  # fmt: skip
    wasteful = sum(
        blend(s.receiver, n.mix, n.gauge_bar, BOOSTED).helium_mol
        for n, s in zip(WEEK, new, strict=True)
    )
    assert sum(fill.helium_mol for fill in used.done.blends) < 0.75 * wasteful


def test_what_the_bank_holds_is_used_first():
    bank = bank_of(HELIUM, [("A", 50.0, 200.0)])
    stocked = replace(
        BOOSTED, sources=(replace(BOOSTED.sources[0], bank=bank), *BOOSTED.sources[1:])
    )
    plain, less = (order_gas(WEEK, SETS, made, OFFERS) for made in (BOOSTED, stocked))
    assert less.helium.count == plain.helium.count - 1


def test_the_cheaper_size_is_taken():
    small = Offer("small", "helium", 10.0, 200.0, Decimal(10))
    order = order_gas(WEEK, SETS, BOOSTED, (*OFFERS, small))
    assert [offer for offer, _ in order.helium.kinds] == [small]


def test_a_dive_that_drops_out():
    drops = without_each_dive(WEEK, SETS, BOOSTED, OFFERS)
    assert [drop.dive for drop in drops] == [1, 2, 3, 4]
    whole = order_gas(WEEK, SETS, BOOSTED, OFFERS)
    for drop in drops:
        assert drop.helium_less_free_l > 0.0
        assert drop.cost_less == whole.cost - drop.order.cost
        assert len(drop.order.fills) == 6


def test_nothing_needed_nothing_ordered():
    order = order_gas([need(1, "EAN32")], owned(1), BOOSTED, OFFERS)
    assert order.helium.count == 0
    assert order.helium.kinds == ()
    assert order.helium.cheapest
    assert order.helium.cost == 0
    assert order.oxygen.count == 1
