"""What a slate carries of a dive's judged gas: gauges, short schedules, where no way leads home."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.paper.reading import depth_text
from slatewright.paper.slate_extras import ShortRow, ShortSchedule, SlateExtras
from slatewright.paper.slate_gauges import gauges_of, no_way_home_of
from slatewright.supply.contingencies import ContingencyKind, contingencies_of

if TYPE_CHECKING:
    from slatewright.physics.units import UnitSystem
    from slatewright.supply.contingencies import Contingency
    from slatewright.supply.judged import Judged


def extras_of(judged: Judged, override: str | None = None) -> SlateExtras:
    """Return what is printed besides the schedule of a judged dive.

    Parameters
    ----------
    judged
        The dive with its gas.
    override
        The name of the person on whose word a slate without a way home is printed.

    Returns
    -------
    SlateExtras
        For `slatewright.paper.slate.slate_pdf`, which refuses a dive without a way home unless
        somebody answers for it.
    """
    ends = tuple(
        f"from min {hazard.at_min:.0f}: {hazard.text}"
        for hazard in judged.no_way_home
        if hazard.code == "out-of-gas"
    )
    return SlateExtras(
        gauges=gauges_of(judged.supply),
        cases=tuple(
            short_case(case, judged.schedule.plan.units)
            for case in contingencies_of(judged.schedule)
        ),
        no_way_home=(*ends, *no_way_home_of(judged.grid)),
        override=override,
    )


def short_case(case: Contingency, units: UnitSystem) -> ShortSchedule:
    """Return a contingency as a column on the back of the slate.

    Parameters
    ----------
    case
        The contingency.
    units
        The units of the reader.
    """
    name = case.name
    if case.kind is ContingencyKind.BOTH:  # its own name is too long for a column
        depth = f"{depth_text(case.depth_m, units)} {units.depth_unit}"
        name = f"{depth} until {case.leave_at_min:.0f} min"
    stops = tuple(
        ShortRow(row.depth_m, row.stop_min, row.until_min, row.gas)
        for row in case.rows
        if row.stop_min is not None
    )
    return ShortSchedule(
        name=name,
        leave_min=case.rows[0].until_min if case.rows else round(case.leave_at_min),
        rows=stops,
        surface_min=case.rows[-1].until_min if case.rows else 0,
        no_way=case.why_none,
    )
