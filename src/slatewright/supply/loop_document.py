"""A dive on a closed circuit with its gas as plain data."""

from __future__ import annotations

from typing import Any

from slatewright.dive.document import document
from slatewright.physics.real_gas import free_litres
from slatewright.supply.consumption import CylinderUse
from slatewright.supply.loop import is_oxygen
from slatewright.supply.loop_bailout import BailoutNeed
from slatewright.supply.loop_balance import Flows
from slatewright.supply.loop_divers import DiverLoop
from slatewright.supply.loop_supply import NOT_LOOKED_AT, LoopSupply


def loop_document(found: LoopSupply) -> dict[str, Any]:
    """Return a dive on a closed circuit with its gas as plain data.

    Parameters
    ----------
    found
        The dive with its gas.

    Returns
    -------
    dict
        As `slatewright.dive.document.document`, with ``divers`` in ``loop``; amounts in moles and
        in free litres.
    """
    told = document(found.schedule, not_judged=NOT_LOOKED_AT)
    told["loop"] = told["loop"] | {"divers": [_diver(own) for own in found.divers]}
    return told


def _diver(own: DiverLoop) -> dict[str, Any]:
    scrubber = own.scrubber
    return {
        "name": own.diver.name,
        "filling": _flows(own.use.filling),
        "total": _flows(own.use.total),
        "left": {"oxygen_mol": own.use.oxygen_mol, "inert_mol": own.use.inert_mol},
        "legs": [_flows(part.flows) | {"ppo2_bar": part.ppo2_bar} for part in own.use.legs],
        "cylinders": [_cylinder(use) for use in own.cylinders],
        "scrubber": {
            "work": scrubber.work,
            "lasts_min": scrubber.lasts_min,
            "used_min": scrubber.used_min,
            "breathed_min": scrubber.breathed_min,
            "reserve_min": scrubber.reserve_min,
        },
        "bailout": [_bailout(need) for need in own.bailout],
    }


def _flows(flows: Flows) -> dict[str, float]:
    return {
        "oxygen_mol": flows.oxygen_mol,
        "diluent_mol": flows.diluent_mol,
        "used_mol": flows.used_mol,
        "vented_oxygen_mol": flows.vented_oxygen_mol,
        "vented_inert_mol": flows.vented_inert_mol,
    }


def _cylinder(use: CylinderUse) -> dict[str, Any]:
    return {
        "feeds": "oxygen" if is_oxygen(use.carried.mix) else "diluent",
        "gas": str(use.carried.mix),
        "cylinder": use.carried.label,
        "size": use.carried.cylinder.name,
        "used_l": use.used_free_l,
        "used_mol": use.used_mol,
        "start_bar": use.start.gauge_bar,
        "end_bar": use.end.gauge_bar,
        "out_min": use.out_min,
    }


def _bailout(need: BailoutNeed) -> dict[str, Any]:
    return {
        "gas": str(need.mix),
        "at_min": need.at_min,
        "at_m": need.at_m,
        "needed_l": free_litres(need.mix, need.needed_mol),
        "available_l": free_litres(need.mix, need.available_mol),
        "surfaced_min": need.surfaced_min,
    }
