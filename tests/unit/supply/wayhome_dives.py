"""Plans and teams of our own invention for the tests of the way home."""

from __future__ import annotations

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.kit import Place, ReserveRules, Team
from slatewright.supply.wayhome import planned_dive
from unit.supply.kits import CALM, carried, diver

PLENTY_L = 60.0
"""So much water volume that no gas ever runs out [L]."""


def gas(mix, use, at_m=None):
    limit_bar = 1.6 if use == "decompression" else 1.4
    return CarriedGas(Mixture.parse(mix), Use(use), limit_bar, at_m)


def plan(gases, *levels, **ascent):
    return Plan(
        title="invented",
        units=UnitSystem.METRIC,
        water=Water(),
        settings=AscentSettings(**ascent),
        gases=tuple(gases),
        levels=tuple(Level(*level) for level in levels),
    )


def quarry(minutes=20.0, depth_m=51.0, **ascent):
    """51 m on 18/45, with EAN50 and oxygen."""
    gases = [
        gas("18/45", "bottom"),
        gas("EAN50", "decompression", 21.0),
        gas("O2", "decompression", 6.0),
    ]
    return plan(gases, (depth_m, minutes), **ascent)


def deep(minutes=20.0):
    """81 m on hypoxic 10/70, with EAN50 for the way down and for decompression, and oxygen."""
    gases = [
        gas("10/70", "bottom"),
        gas("EAN50", "travel", 12.0),
        gas("EAN50", "decompression", 21.0),
        gas("O2", "decompression", 6.0),
    ]
    return plan(gases, (81.0, minutes))


def kit_of(dive_plan, back_l=PLENTY_L, stage_l=PLENTY_L, bar=200.0, **litres):
    """Return cylinders for all gases of a plan; ``EAN50=5.5`` names the volume of one."""
    kit = []
    bottom = {held.mix for held in dive_plan.bottom_gases}
    for mix in dict.fromkeys(held.mix for held in dive_plan.gases):
        place = Place.BACK if mix in bottom else Place.STAGE
        each_l = litres.get(str(mix), back_l if mix in bottom else stage_l)
        kit.append(carried(str(mix), place, each_l, bar=bar, label=str(mix)))
    return tuple(kit)


def team(*divers, **rules):
    return Team(tuple(divers), ReserveRules(**rules))


def solo(dive_plan, rules=None, rmv=CALM, **litres):
    return team(diver(*kit_of(dive_plan, **litres), rmv=rmv), **(rules or {}))


def pair(dive_plan, rules=None, rmv=(CALM, CALM), **litres):
    names = ("Mirren", "Olav")
    return team(
        *(
            diver(*kit_of(dive_plan, **litres), rmv=each, name=name)
            for name, each in zip(names, rmv, strict=True)
        ),
        **(rules or {}),
    )


__all__ = ["gas", "plan", "planned_dive"]
