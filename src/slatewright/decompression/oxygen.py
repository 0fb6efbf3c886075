"""Oxygen exposure of finished legs: CNS share, pulmonary dose, and a second opinion.

CNS share: minutes divided by the published single-exposure limit at their ppO2, summed. The limit
between rows is a house rule. Three things are ours, each on the safe side:

- From 0.5 to 0.6 atm, below the table, the limit of the 0.6 atm row holds; up to 0.5 atm nothing
  counts.
- Above 1.6 atm the published limits for exceptional exposures hold, but never longer than the
  45 min of 1.6 atm: the exceptional table has 120 min there; the share would fall as ppO2 rises.
- Above 2.8 atm, where that table ends, the share is infinite.

The tables count in atm, dives in bar: 1.6 bar is 1.579 atm, and lies between two rows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from slatewright.decompression.oxygen_formulas import (
    THRESHOLD_ATM,
    cns_after_surface_pct,
    cns_share_pct,
    index_after,
    index_risk_pct,
    limit_between_rows_min,
    ppo2_atm,
    pulmonary_dose_otu,
    recovered_index,
    vital_capacity_loss_pct,
)
from slatewright.decompression.oxygen_loop import loop_ppo2_bar
from slatewright.errors import InputError
from slatewright.physics.limits import oxygen_pressure_bar
from slatewright.sources import published_table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from slatewright.decompression.leg import Leg
    from slatewright.physics.water import Water

TABLE_RULES: Final = ("interpolate", "step")
"""Between rows of the oxygen table: interpolate, or step to the next higher row."""
ALARM_ABOVE_BAR: Final = 1.6
"""Any ppO2 above this, by more than the tolerance, raises the alarm [bar]."""
NORMAL_TABLE_ENDS_ATM: Final = 1.6
CNS_EXPONENT: Final = 6.8
PULMONARY_EXPONENT: Final = 4.57
_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class OxygenDose:
    """What a diver has been exposed to.

    Parameters
    ----------
    cns_pct
        Share of the single-exposure limit; infinite where the published tables end [%].
    otu
        Pulmonary dose [OTU].
    index_k
        Power-law index for the central nervous system, a second opinion [min2 atm^6.8].
    pulmonary_index_k
        Power-law index for the lungs, a second opinion [h2 atm^4.57].
    highest_ppo2_bar
        The highest ppO2 breathed [bar].
    alarm
        True if it was above 1.6 bar by more than the tolerance, whatever the doses are.
    """

    cns_pct: float = 0.0
    otu: float = 0.0
    index_k: float = 0.0
    pulmonary_index_k: float = 0.0
    highest_ppo2_bar: float = 0.0
    alarm: bool = False

    @property
    def risk_pct(self) -> float:
        """Risk of a CNS symptom by the power-law index [%]."""
        return index_risk_pct(self.index_k)

    @property
    def vital_capacity_loss_pct(self) -> float:
        """Loss of vital capacity by the power-law index [%]."""
        return vital_capacity_loss_pct(self.pulmonary_index_k)


def ppo2_bar(leg: Leg, depth_m: float, water: Water) -> float:
    """Return the ppO2 that is breathed at a depth of a leg.

    Parameters
    ----------
    leg
        Gas, and setpoint on a closed circuit.
    depth_m
        Where [m].
    water
        Surface pressure and weight of the water.

    Returns
    -------
    float
        ppO2; on a closed circuit the setpoint as far as ambient pressure and diluent allow [bar].
    """
    as_mixed_bar = oxygen_pressure_bar(leg.gas.o2, depth_m, water.surface_bar, water.bar_per_m)
    if leg.setpoint_bar is None:
        return as_mixed_bar
    return loop_ppo2_bar(as_mixed_bar, water.ambient_bar(depth_m), leg.setpoint_bar)


def single_limit_min(ppo2: float, *, table: str) -> float:
    """Return the single-exposure limit at a ppO2.

    Parameters
    ----------
    ppo2
        Partial pressure of oxygen [atm].
    table
        House rule ``oxygen_table``: one of `TABLE_RULES`.

    Returns
    -------
    float
        The limit; infinite up to 0.5 atm, nothing above 2.8 atm [min].

    Raises
    ------
    InputError
        If there is no such rule, or the ppO2 is no number.
    """
    _check_rule(table)
    if not math.isfinite(ppo2) or ppo2 < 0.0:
        raise InputError(f"a ppO2 of {ppo2} atm is none", right="0 or more")
    return math.inf if ppo2 <= THRESHOLD_ATM else _limit_min(ppo2, table)


def running_dose(
    legs: Sequence[Leg],
    water: Water,
    *,
    table: str,
    start: OxygenDose | None = None,
    tolerance_bar: float = 0.03,
) -> tuple[OxygenDose, ...]:
    """Return the dose at the end of each leg.

    Parameters
    ----------
    legs
        In the order of time.
    water
        Surface pressure and weight of the water.
    table
        House rule ``oxygen_table``: one of `TABLE_RULES`.
    start
        What is carried into the first leg; None for a rested diver.
    tolerance_bar
        What a ppO2 may exceed 1.6 bar by without an alarm [bar].

    Returns
    -------
    tuple
        One `OxygenDose` a leg, each with all that went before.

    Raises
    ------
    InputError
        If there is no such rule, or a leg's time or depth is no number.

    Notes
    -----
    [NOAA1991], [CLARK1970], [ARIELI2002]. A leg at the surface counts like any other: the CNS share
    falls only in `after_surface`.
    """
    _check_rule(table)
    dose = start or OxygenDose()
    doses = []
    for leg in legs:
        if not (math.isfinite(leg.from_m + leg.to_m) and 0.0 <= leg.minutes < math.inf):
            raise InputError(
                f"a leg of {leg.minutes} min from {leg.from_m} to {leg.to_m} m has no oxygen dose",
                right="finite numbers, and a time that is not negative",
            )
        highest_bar = max(ppo2_bar(leg, leg.from_m, water), ppo2_bar(leg, leg.to_m, water))
        for minutes, first, last in _stretches(leg, water):
            dose = _after_stretch(dose, minutes, first, last, table)
        alarm = highest_bar > ALARM_ABOVE_BAR + tolerance_bar + _SLACK
        dose = replace(
            dose,
            highest_ppo2_bar=max(dose.highest_ppo2_bar, highest_bar),
            alarm=dose.alarm or alarm,
        )
        doses.append(dose)
    return tuple(doses)


def dose_of_legs(
    legs: Sequence[Leg],
    water: Water,
    *,
    table: str,
    start: OxygenDose | None = None,
    tolerance_bar: float = 0.03,
) -> OxygenDose:
    """Return the dose at the end of the last leg.

    Parameters
    ----------
    legs, water, table, start, tolerance_bar
        As for `running_dose`; tolerance in [bar].

    Returns
    -------
    OxygenDose
        With what was carried into the first leg.

    """
    doses = running_dose(legs, water, table=table, start=start, tolerance_bar=tolerance_bar)
    return doses[-1] if doses else start or OxygenDose()


def after_surface(dose: OxygenDose, minutes: float, *, cns_half_time_min: float) -> OxygenDose:
    """Return what is carried into the next dive after a time at the surface.

    Parameters
    ----------
    dose
        On surfacing.
    minutes
        Time at the surface, breathing air [min].
    cns_half_time_min
        House rule: time in which the CNS share halves [min].

    Returns
    -------
    OxygenDose
        CNS share and index recovered; the pulmonary dose and index stay: they are summed by
        days, and the caller begins a new day. Highest ppO2 and alarm end with the dive.

    Raises
    ------
    InputError
        If the time is negative or no number, or the half-time is not above zero.
    """
    if not 0.0 <= minutes < math.inf:
        raise InputError(f"a surface interval of {minutes} min is none", right="0 min or more")
    if not 0.0 < cns_half_time_min < math.inf:
        raise InputError(f"a half-time of {cns_half_time_min} min is none", right="by custom 90")
    return replace(
        dose,
        cns_pct=cns_after_surface_pct(dose.cns_pct, minutes, cns_half_time_min),
        index_k=recovered_index(dose.index_k, minutes),
        highest_ppo2_bar=0.0,
        alarm=False,
    )


def daily_allowance_otu(day: int) -> float:
    """Return the pulmonary dose allowed a day in a run of days of exposure.

    Parameters
    ----------
    day
        Which day of the run it is, from 1.

    Returns
    -------
    float
        The average allowed on each of so many days [OTU].

    Raises
    ------
    InputError
        If the day is less than 1, or more than the 30 that the table covers.

    Notes
    -----
    [HAMILTON1988]. It is an average: a full 850 on the first day leaves no 700 for the second. Hold
    the sum of all days against `total_allowance_otu` too.
    """
    table = published_table("repex_otu")
    last = table["days"][-1]
    if not 1 <= day <= last:
        raise InputError(
            f"the table of daily oxygen doses has no day {day}",
            right=f"1 to {last:g}; after that a rest is due that the table does not give",
        )
    # the last row holds for 15 to 30 days; from 11 days on the average is the same
    rows = zip(table["days"], table["average_otu"], strict=True)
    return next(average for days, average in rows if day <= days)


def total_allowance_otu(days: int) -> float:
    """Return the pulmonary dose allowed in all in a run of days of exposure.

    Parameters
    ----------
    days
        Length of the run, 1 to 30.

    Returns
    -------
    float
        The sum allowed [OTU].
    """
    return days * daily_allowance_otu(days)


@cache
def _rows() -> tuple[tuple[float, float], ...]:
    """Return ppO2 [atm] and limit [min], rising; see the head of this module."""
    normal = published_table("noaa_oxygen_limits")
    exceptional = published_table("noaa_oxygen_exceptional")
    rows = sorted(zip(normal["ppo2_atm"], normal["single_min"], strict=True))
    shortest_min = rows[-1][1]
    beyond = [
        (ppo2, min(limit_min, shortest_min))
        for ppo2, limit_min in zip(exceptional["ppo2_atm"], exceptional["minutes"], strict=True)
        if ppo2 > NORMAL_TABLE_ENDS_ATM
    ]
    return ((THRESHOLD_ATM, rows[0][1]), *rows, *sorted(beyond))


def _limit_min(ppo2: float, table: str) -> float:
    """Return the limit from the threshold on; nothing where the tables end."""
    for (below, limit_below_min), (above, limit_above_min) in pairwise(_rows()):
        if ppo2 <= above + _SLACK:
            if table == "step":
                return limit_above_min
            return limit_between_rows_min(ppo2, below, above, limit_below_min, limit_above_min)
    return 0.0


def _check_rule(table: str) -> None:
    if table not in TABLE_RULES:
        raise InputError(
            f"'{table}' is no way to read the oxygen table",
            where="oxygen_table",
            right=" or ".join(TABLE_RULES),
        )


def _stretches(leg: Leg, water: Water) -> Iterator[tuple[float, float, float]]:
    """Yield minutes and ppO2 [atm] at both ends of each stretch with a linear ppO2 on one row."""
    shares = {0.0, 1.0}
    start_bar, end_bar = water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m)
    if leg.setpoint_bar and start_bar != end_bar:
        corners = (leg.setpoint_bar, leg.setpoint_bar / leg.gas.o2)
        shares |= {(corner - start_bar) / (end_bar - start_bar) for corner in corners}
    for low, high in pairwise(sorted(share for share in shares if 0.0 <= share <= 1.0)):
        first, last = (
            ppo2_atm(ppo2_bar(leg, leg.from_m + (leg.to_m - leg.from_m) * share, water))
            for share in (low, high)
        )
        yield from _split_at_rows((high - low) * leg.minutes, first, last)


def _split_at_rows(
    minutes: float, first: float, last: float
) -> Iterator[tuple[float, float, float]]:
    """Yield the parts of a stretch between rows of the table; each lies within two rows."""
    change = last - first
    if abs(change) <= _SLACK:
        yield minutes, first, first
        return
    shares = [(row - first) / change for row, _ in _rows()]
    ordered = [0.0, *sorted(share for share in shares if 0.0 < share < 1.0), 1.0]
    for low, high in pairwise(ordered):
        yield minutes * (high - low), first + change * low, first + change * high


def _after_stretch(
    dose: OxygenDose, minutes: float, first: float, last: float, table: str
) -> OxygenDose:
    """Return the dose after a stretch with a linear ppO2 [atm] between two rows."""
    if max(first, last) <= THRESHOLD_ATM + _SLACK:
        return replace(dose, index_k=recovered_index(dose.index_k, minutes))
    first, last = max(first, THRESHOLD_ATM), max(last, THRESHOLD_ATM)
    limits_min = [_limit_min(end, table) for end in (first, last)]
    if table == "step" or 0.0 in limits_min:  # the row of the higher end holds for both
        limits_min = [min(limits_min)] * 2
    if limits_min[0] == 0.0:
        share_pct = math.inf if minutes > 0.0 else 0.0
    else:
        share_pct = cns_share_pct(minutes, *limits_min)
    return replace(
        dose,
        cns_pct=dose.cns_pct + share_pct,
        otu=dose.otu + pulmonary_dose_otu(minutes, first, last),
        index_k=index_after(dose.index_k, minutes, first, last, CNS_EXPONENT),
        pulmonary_index_k=index_after(
            dose.pulmonary_index_k, minutes / 60.0, first, last, PULMONARY_EXPONENT
        ),
    )
