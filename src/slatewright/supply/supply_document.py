"""The gas of a dive as plain data, for the document of the dive."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.supply.consumption import Reading
from slatewright.supply.matching import CylinderSupply, DiverSupply
from slatewright.supply.price import BottomMinute
from slatewright.supply.reserves import MinimumGas
from slatewright.supply.supply import Supply


def supply_document(supply: Supply) -> list[dict[str, Any]]:
    """Return the list ``supply`` of a dive's document: one entry a cylinder.

    Parameters
    ----------
    supply
        The gas of the dive.

    Returns
    -------
    list
        Free litres, bar and psi on the gauge, not rounded; ``contents_l`` and ``start_bar`` are
        those of the fill, ``end_bar`` and the readings after it those in the water. What was used
        stands there in moles too, with the litres of a mole: of those no gas model is in doubt.
    """
    return [_cylinder(own, cylinder) for own in supply.divers for cylinder in own.cylinders]


def reserves_document(supply: Supply) -> dict[str, Any]:
    """Return what the team keeps: minimum gas by depth, turns, gases, the price of a minute.

    Parameters
    ----------
    supply
        The gas of the dive.

    Returns
    -------
    dict
        Plain data.
    """
    rules = supply.team.rules
    return {
        "rules": {
            "turn_rule": str(rules.turn_rule),
            "problem_min": rules.problem_min,
            "two_tasks_min": rules.two_tasks_min,
            "decompression_factor": rules.decompression_factor,
            "inflation_l": rules.inflation_free_l,
            "surface_swim_min": rules.surface_swim_min,
            "residual_bar": rules.residual_gauge_bar,
        },
        "water_temperature_k": supply.team.water_temperature_k,
        "minimum": [_minimum(supply, row) for row in supply.minimum],
        "divers": [_diver(supply, own) for own in supply.divers],
        "bottom_minute": _price(supply.price),
        "enough": supply.enough,
    }


def _cylinder(own: DiverSupply, cylinder: CylinderSupply) -> dict[str, Any]:
    use, mix = cylinder.use, cylinder.use.carried.mix
    return {
        "diver": own.diver.name,
        "gas": str(mix),
        "cylinder": use.carried.label,
        "size": use.carried.cylinder.name,
        "place": str(use.carried.place),
        "fill_temperature_k": use.carried.fill_temperature_k,
        "water_volume_l": use.carried.cylinder.water_volume_l,
        "contents_l": use.start.free_l,
        "used_l": use.used_free_l,
        "used_mol": use.used_mol,
        "free_l_per_mol": free_litres(mix, 1.0),
        "inflation_l": free_litres(mix, use.inflation_mol),
        "reserve_l": free_litres(mix, cylinder.reserve_mol),
        "start_bar": use.start.gauge_bar,
        "end_bar": use.end.gauge_bar,
        "reserve_bar": cylinder.reserve_gauge_bar,
        "turn_bar": cylinder.turn_gauge_bar,
        "out_min": use.out_min,
        "readings": [_reading(reading) for reading in use.readings],
    }


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "occasion": str(reading.occasion),
        "at_min": reading.at_min,
        "at_m": reading.at_m,
        "bar": reading.gauge_bar,
        "psi": reading.gauge_psi,
        "free_l": reading.free_l,
    }


def _minimum(supply: Supply, row: MinimumGas) -> dict[str, Any]:
    return {
        "gas": str(row.mix),
        "at_m": row.at_m,
        "at_min": row.at_min,
        "problem_min": row.problem_min,
        "ascent_min": row.ascent_min,
        "next_gas": str(row.next_mix) if row.next_mix else None,
        "next_m": row.next_m,
        "divers": [
            {
                "name": own.diver.name,
                "free_l": free_litres(row.mix, row.amount_mol(own.sharing_l_per_min)),
                "gauges_bar": supply.minimum_gauges_bar(row, own),
            }
            for own in supply.divers
        ],
    }


def _diver(supply: Supply, own: DiverSupply) -> dict[str, Any]:
    mix, turn = supply.turn_mix, own.turn
    return {
        "name": own.diver.name,
        "gauge": own.diver.units.pressure_unit,
        "carries_for": own.carries_for.name if own.carries_for else None,
        "sharing_l_per_min": own.sharing_l_per_min,
        "turn": {
            "gas": str(mix),
            "usable_l": free_litres(mix, turn.usable_mol),
            "use_l": free_litres(mix, turn.use_mol),
            "decides": turn.decides,
            "at_min": own.turn_min,
        },
        "gases": [
            {
                "gas": str(kept.mix),
                "available_l": free_litres(kept.mix, kept.available_mol),
                "to_end_of_stay_l": free_litres(kept.mix, kept.before_mol),
                "after_l": free_litres(kept.mix, kept.after_mol),
                "reserve_l": free_litres(kept.mix, kept.reserve_mol),
                "needed_l": free_litres(kept.mix, kept.needed_mol),
            }
            for kept in own.kept
        ],
    }


def _price(price: BottomMinute | None) -> dict[str, Any] | None:
    if price is None:
        return None

    def litres(amounts: Mapping[Mixture, float]) -> dict[str, float]:
        return {str(mix): free_litres(mix, mol) for mix, mol in amounts.items()}

    return {
        "ascent_min": price.ascent_min,
        "at_depth_l": litres(price.at_depth_mol),
        "above_l": litres(price.above_mol),
    }
