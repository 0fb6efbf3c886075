"""Divers, kits and legs for the tests of supply."""

from __future__ import annotations

from slatewright.decompression.leg import Leg, LegKind
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.supply.cylinders import Cylinder, Material
from slatewright.supply.kit import Diver, KitCylinder, Place, Rmv

ROOM_K = 293.15
CALM = Rmv(18.0, 22.0, 15.0, 30.0)


def vessel(each_l=11.1, count=1, working_bar=232.0):
    volume_l = each_l * count
    return Cylinder(
        f"{count} x {each_l:g}", volume_l, working_bar, Material.STEEL, 1.2 * volume_l,
        1.2 * volume_l, count,
    )  # fmt: skip


def carried(mix, place=Place.STAGE, each_l=11.1, count=1, bar=200.0, label=None, kelvin=ROOM_K):
    mixture = Mixture.parse(mix)
    name = label or f"{place} {mix}"
    return KitCylinder(vessel(each_l, count), mixture, bar, kelvin, place, name)


def diver(*kit, rmv=CALM, works=False, name="Mirren", units=UnitSystem.METRIC):
    return Diver(name, units, rmv, tuple(kit), works_at_depth=works)


def dive(*rows, gas="10/70"):
    """Return legs from (kind, to_m, minutes[, gas[, switching]]) rows, contiguous from 0 m."""
    legs, at_m, at_min = [], 0.0, 0.0
    for kind, to_m, minutes, *rest in rows:
        gas = rest[0] if rest else gas
        switching = bool(rest[1:] and rest[1])
        legs.append(Leg(LegKind(kind), at_m, float(to_m), at_min, float(minutes),
                        Mixture.parse(gas), switching=switching))  # fmt: skip
        at_m, at_min = float(to_m), at_min + minutes
    return tuple(legs)


WALL = dive(
    ("descent", 36, 1.8, "21/35"),
    ("stop", 36, 1, "21/35", True),
    ("descent", 96, 3, "10/70"),
    ("bottom", 96, 12.2),
    ("ascent", 45, 5.7),
    ("stop", 45, 1, "10/70", True),
    ("stop", 45, 2, "21/35"),
    ("ascent", 21, 4),
    ("stop", 21, 1, "21/35", True),
    ("stop", 21, 8, "EAN50"),
    ("ascent", 6, 2.5),
    ("stop", 6, 30),
    ("ascent", 0, 2),
)
"""A dive of the shape of the sixth of the week; its stops are made up, no schedule."""


def wall_kit(bar=220.0):
    return (
        carried("10/70", Place.BACK, 18.0, 2, bar),
        carried("21/35", Place.LEFT),
        carried("EAN50", Place.LEFT),
    )
