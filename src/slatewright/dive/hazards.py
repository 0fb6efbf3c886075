"""All hazards of a dive, from its finished legs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from slatewright.dive import hazards_change, hazards_gas, hazards_load, hazards_loop
from slatewright.dive.finished import Finished
from slatewright.dive.hazard import Hazard, Severity

_ORDER: Final = {Severity.DANGER: 0, Severity.WARNING: 1, Severity.NOTE: 2}

RULES: Final[tuple[Callable[[Finished], Iterator[Hazard]], ...]] = (
    hazards_gas.hypoxic,
    hazards_gas.hyperoxic,
    hazards_gas.dense,
    hazards_gas.narcotic,
    hazards_gas.nervous_syndrome,
    hazards_change.counterdiffusing,
    hazards_change.unused,
    hazards_change.gainless,
    hazards_change.moved_switch,
    hazards_load.cns,
    hazards_load.pulmonary,
    hazards_load.ascent_rate,
    hazards_load.unbroken_oxygen,
    hazards_load.out_of_range,
)

LOOP_RULES: Final[tuple[Callable[[Finished], Iterator[Hazard]], ...]] = (
    hazards_loop.no_bailout,
    hazards_loop.rich_loop,
    hazards_loop.dense_loop,
    hazards_loop.narcotic_loop,
    hazards_loop.rich_diluent,
    hazards_loop.lean_diluent,
    hazards_loop.setpoint_not_held,
    hazards_gas.nervous_syndrome,
    hazards_load.cns,
    hazards_load.pulmonary,
    hazards_load.ascent_rate,
    hazards_load.out_of_range,
)
"""Those of a dive on a closed circuit."""


def hazards_of(dive: Finished) -> tuple[Hazard, ...]:
    """Return the hazards of a dive, the most severe first, then by run time.

    Parameters
    ----------
    dive
        The finished dive.
    """
    rules = RULES if dive.plan.loop is None else LOOP_RULES
    found = [hazard for rule in rules for hazard in rule(dive)]
    return tuple(sorted(found, key=lambda hazard: (_ORDER[hazard.severity], hazard.at_min)))
