"""The fill room: one blend (20 ms), a course's order (5 s), the spread of a fill."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from slatewright.fill.assignment import Need, Owned
from slatewright.fill.blend import blend
from slatewright.fill.booster import Booster
from slatewright.fill.order import order_gas
from slatewright.fill.prices import GasPrice, Offer, Prices
from slatewright.fill.receiver import Receiver, holding
from slatewright.fill.room import Choice, Room, Source
from slatewright.fill.uncertainty import Instruments, linear_spread
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.supply.catalogue import cylinder_named

DAY = date(2031, 5, 9)
PRICES = Prices(
    "EUR",
    DAY,
    {"helium": GasPrice("helium", Decimal("0.06")), "oxygen": GasPrice("oxygen", Decimal("0.01"))},
)
ROOM = Room(
    (Source("helium", HELIUM, boosted=True), Source("oxygen", OXYGEN, boosted=True),
     Source("air", AIR), Source("banked EAN32", Mixture(0.32))),
    DAY, choice=Choice.LEAST_COST, prices=PRICES, booster=Booster(25.0, 250.0, 8.0),
)  # fmt: skip
TWIN, STAGE = cylinder_named("twin 12"), cylinder_named("stage 11.1")
BOTTOM = ("18/45", "18/45", "18/45", "15/55", "12/65", "10/70")
OFFERS = (
    Offer("50 at 200", "helium", 50.0, 200.0),
    Offer("50 at 300", "helium", 50.0, 300.0),
    Offer("oxygen", "oxygen", 50.0, 200.0),
)
ONE_SECOND = 1.0
BLEND_S = 0.020
ORDER_S = 5.0


def leftover():
    inside = holding(TWIN, Mixture(0.18, 0.45), 90.0, 293.15)
    return Receiver("back", TWIN, inside, DAY, oxygen_clean=True)


def course():
    needs, owned = [], []
    for diver in "ABCD":
        bodies = (TWIN, STAGE, STAGE, STAGE)
        owned += [
            Owned(diver, Receiver(f"{diver}{i}", body, holding(body, AIR, 0.0, 293.15)))
            for i, body in enumerate(bodies)
        ]
        for dive, mix in enumerate(BOTTOM, 1):
            needs.append(Need(dive, diver, TWIN, Mixture.parse(mix), 220.0, 80.0))
            needs += [
                Need(dive, diver, STAGE, Mixture.parse(other), 180.0, 100.0)
                for other in ("21/35", "EAN50", "O2")
            ]
    return needs, owned


def test_one_blend(benchmark):
    fill = benchmark(blend, leftover(), Mixture(0.12, 0.65), 220.0, ROOM)
    assert abs(fill.mix.he - 0.65) < 1e-9
    assert benchmark.stats["median"] < BLEND_S


def test_the_spread_of_a_blend(benchmark):
    fill = blend(leftover(), Mixture(0.12, 0.65), 220.0, ROOM)
    spread = benchmark(linear_spread, fill, Instruments())
    assert spread.o2 > 0.0
    assert benchmark.stats["median"] < ONE_SECOND


def test_the_order_of_a_course(benchmark):
    needs, owned = course()
    order = benchmark.pedantic(order_gas, (needs, owned, ROOM, OFFERS), rounds=3)
    assert len(order.fills) == 96
    assert order.helium.count > 0
    assert benchmark.stats["median"] < ORDER_S
