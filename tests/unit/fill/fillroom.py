"""Rooms and cylinders for the tests of fill."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from slatewright.fill.prices import GasPrice, Prices
from slatewright.fill.receiver import Receiver, holding
from slatewright.fill.room import Room, Source
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.supply.cylinders import Cylinder, Material

DAY = date(2031, 5, 9)
LATER = date(2033, 3, 31)
ROOM_K = 293.15
HELIUM_SOURCE = Source("helium", HELIUM)
OXYGEN_SOURCE = Source("oxygen", OXYGEN)
AIR_SOURCE = Source("air", AIR)
PRICES = Prices(
    "EUR",
    DAY,
    {
        "helium": GasPrice("helium", Decimal("0.062")),
        "oxygen": GasPrice("oxygen", Decimal("0.011")),
        "air": GasPrice("air", per_fill=Decimal(5)),
    },
)


def vessel(litres=12.0, working_bar=232.0):
    return Cylinder(
        f"{litres:g} L", litres, working_bar, Material.STEEL, 1.2 * litres, 1.3 * litres
    )


def room(*sources, **changes):
    basis = Room(sources or (HELIUM_SOURCE, OXYGEN_SOURCE, AIR_SOURCE), DAY)
    return replace(basis, **changes)


def cylinder(holds=None, bar=0.0, litres=12.0, working_bar=232.0, label="set", **changes):
    body = vessel(litres, working_bar)
    inside = None if holds is None else holding(body, Mixture.parse(holds), bar, ROOM_K)
    return replace(Receiver(label, body, inside, LATER, oxygen_clean=True), **changes)
