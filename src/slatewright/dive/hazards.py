"""All hazards of a dive, from its finished legs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from slatewright.dive import hazards_change, hazards_gas, hazards_load
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


def hazards_of(dive: Finished) -> tuple[Hazard, ...]:
    """Return the hazards of a dive, the most severe first, then by run time.

    Parameters
    ----------
    dive
        The finished dive.
    """
    found = [hazard for rule in RULES for hazard in rule(dive)]
    return tuple(sorted(found, key=lambda hazard: (_ORDER[hazard.severity], hazard.at_min)))
