"""What the table of a closed circuit means, in metric units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.dive.loop import Loop, Metabolism, ScrubberRow, Setpoint
from slatewright.physics.mixture import Mixture

if TYPE_CHECKING:
    from slatewright.dive._plan_loop import LoopTable, SetpointTable
    from slatewright.physics.units import UnitSystem


def loop_of(table: LoopTable, units: UnitSystem) -> Loop:
    """Return the closed circuit that a table means.

    Parameters
    ----------
    table
        The table, without contradictions.
    units
        The units of the file.
    """

    def setpoint(entry: SetpointTable) -> Setpoint:
        return Setpoint(entry.bar, entry.metres("from_{}", units))

    return Loop(
        diluent=Mixture.parse(table.diluent),
        down=tuple(setpoint(entry) for entry in table.setpoint_down),
        bottom_bar=table.setpoint_bottom_bar,
        up=tuple(setpoint(entry) for entry in table.setpoint_up),
        volume_l=table.metric("volume_{l}", units),
        metabolism=_metabolism(table, units),
        scrubber=tuple(
            ScrubberRow(row.work, row.lasts_min, row.metric("water_temperature_{c}", units))
            for row in table.scrubber
        ),
        scrubber_used_min=table.scrubber_used_min,
        scrubber_reserve_min=table.scrubber_reserve_min,
    )


def _metabolism(table: LoopTable, units: UnitSystem) -> Metabolism | None:
    swimming = table.metric("oxygen_swimming_{l}_per_min", units)
    if swimming is None:
        return None
    working = table.metric("oxygen_working_{l}_per_min", units)
    resting = table.metric("oxygen_resting_{l}_per_min", units)
    return Metabolism(
        resting_l_per_min=swimming if resting is None else resting,
        swimming_l_per_min=swimming,
        working_l_per_min=swimming if working is None else working,
    )
