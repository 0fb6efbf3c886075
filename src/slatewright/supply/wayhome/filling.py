"""What cylinders would have to show with more gas in them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slatewright.physics.isotherm import isotherm
from slatewright.physics.real_gas import HIGHEST_BAR, free_gas_mol
from slatewright.supply.stores import start_mol

if TYPE_CHECKING:
    from collections.abc import Mapping

    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water
    from slatewright.supply.kit import KitCylinder, Team


@dataclass(frozen=True, slots=True)
class Fill:
    """One cylinder with more gas in it.

    Parameters
    ----------
    diver
        Whose it is.
    label
        Its name.
    mix
        What is in it.
    gauge_bar
        What it would have to show at the start, rounded up; None if no cylinder of this size
        holds as much [bar].
    fits
        True if that is within its working pressure.
    water_volume_l
        The volume that would hold as much at the pressure it has now, rounded up to tenths [L].
    """

    diver: str
    label: str
    mix: Mixture
    gauge_bar: float | None
    fits: bool
    water_volume_l: float


def fills_of(team: Team, more_free_l: Mapping[Mixture, float], water: Water) -> tuple[Fill, ...]:
    """Return what the cylinders of a team would have to show with more gas in them.

    Parameters
    ----------
    team
        The team.
    more_free_l
        Free litres that each diver is to have more of some gases, shared among that diver's
        cylinders of the gas by their volume [L].
    water
        Pressure at the surface.
    """
    fills = []
    for diver in team.divers:
        for held in diver.kit:
            if held.mix in more_free_l:
                volume_l = sum(o.cylinder.water_volume_l for o in diver.kit if o.mix == held.mix)
                part = held.cylinder.water_volume_l / volume_l
                more_mol = free_gas_mol(held.mix, more_free_l[held.mix]) * part
                fills.append(_fill(diver.name, held, more_mol, water))
    return tuple(fills)


def _fill(diver: str, held: KitCylinder, more_mol: float, water: Water) -> Fill:
    now_mol = start_mol(held, water)
    volume_l = held.cylinder.water_volume_l
    curve = isotherm(held.mix, held.fill_temperature_k)
    density = (now_mol + more_mol) / volume_l
    gauge = None
    if density < curve.highest_mol_per_l:
        gauge = float(curve.pressure_bar(density)) - water.surface_bar
        gauge = math.ceil(gauge - 1e-6) if gauge < HIGHEST_BAR else None
    return Fill(
        diver=diver,
        label=held.label,
        mix=held.mix,
        gauge_bar=gauge,
        fits=gauge is not None and gauge <= held.cylinder.working_gauge_bar + 1e-6,
        water_volume_l=math.ceil(volume_l * (1.0 + more_mol / now_mol) * 10.0 - 1e-9) / 10.0,
    )
