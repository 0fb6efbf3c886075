"""The whole document of a dive: schedule and gas, for whoever checks it again."""

from __future__ import annotations

from typing import Any, Final

from slatewright.dive.document import document
from slatewright.supply.judged import Judged
from slatewright.supply.kit import Diver
from slatewright.supply.lift import BuoyancyPoint
from slatewright.supply.lift_over_dive import NO_RIG, Lift
from slatewright.supply.mixups import MixUps
from slatewright.supply.supply_document import reserves_document, supply_document
from slatewright.supply.wayhome import Grid, as_document

_BY_MINUTE: Final = {
    "verdict",
    "surfaced_min",
    "share_left",
    "scarce_gas",
    "scarce_diver",
    "over_limit_bar",
    "below_floor_bar",
}
"""What the grid tells for each minute: a document of its own."""


def full_document(judged: Judged) -> dict[str, Any]:
    """Return a dive with its gas as plain data.

    Parameters
    ----------
    judged
        The finished dive with its gas.

    Returns
    -------
    dict
        As `slatewright.dive.document.document`, with ``supply``, ``divers``, ``reserves``,
        ``way_home``, ``mixups`` and ``lift``. The way home is told by failure, and minute by minute
        in a document of its own; so are all mix-ups.
    """
    supply = judged.supply
    return document(judged.schedule) | {
        "supply": supply_document(supply),
        "divers": [_diver(diver) for diver in supply.team.divers],
        "reserves": reserves_document(supply),
        "way_home": _way_home(judged.grid),
        "mixups": _mixups(judged.mixups),
        "lift": [_lift(lift) for lift in judged.lifts],
    }


def _diver(diver: Diver) -> dict[str, Any]:
    rmv = diver.rmv
    return {
        "name": diver.name,
        "rmv_l_per_min": {
            "swimming": rmv.swimming_l_per_min,
            "working": rmv.working_l_per_min,
            "resting": rmv.resting_l_per_min,
            "stressed": rmv.stressed_l_per_min,
        },
        "works_at_depth": diver.works_at_depth,
    }


def _way_home(grid: Grid) -> dict[str, Any]:
    told = as_document(grid)
    failures = [
        {key: value for key, value in row.items() if key not in _BY_MINUTE}
        for row in told["failures"]
    ]
    kept = ("has_way_home", "first_failing", "rules")
    return {key: told[key] for key in kept} | {"failures": failures}


def _mixups(found: MixUps) -> dict[str, Any]:
    never = found.never_alike
    return {
        "never_alike": None if never is None else [str(mix) for mix in never.gases],
        "pairs": [
            {
                "gases": [str(mix) for mix in pair.gases],
                "worst": pair.worst.harm.name.lower().replace("_", " "),
                "grave_moments": pair.grave,
                "text": pair.text,
            }
            for pair in found.alike
        ],
        "drop_order": [str(drop.gas) for drop in found.drops],
        "order": found.order_text,
    }


def _lift(lift: Lift) -> dict[str, Any]:
    rig, found = lift.diver.rig, lift.balance
    if rig is None or found is None:
        return {"name": lift.diver.name, "not_judged": NO_RIG}
    return {
        "name": lift.diver.name,
        "rig": {
            "wing_lift_kg": rig.wing_lift_kg,
            "droppable_kg": rig.droppable_kg,
            "fixed_ballast_kg": rig.fixed_ballast_kg,
            "suit": str(rig.suit),
            "suit_gas_l": rig.suit_gas_l,
            "person_buoyancy_kg": rig.person_buoyancy_kg,
            "second_lift_kg": rig.second_lift_kg,
        },
        "heaviest": _point(found.heaviest),
        "lightest": _point(found.lightest),
        "points": [_point(point) for point in found.points],
        "assumptions": list(found.assumptions),
    }


def _point(point: BuoyancyPoint) -> dict[str, float]:
    return {
        "at_min": point.at_min,
        "at_m": point.at_m,
        "cylinders_kg": point.cylinders_kg,
        "suit_kg": point.suit_kg,
        "ballast_kg": point.ballast_kg,
        "person_kg": point.person_kg,
        "net_kg": point.net_kg,
    }
