"""Hazards of dose and pace: oxygen loads, ascent rate, and plans outside the model's range."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import (
    OxygenDose,
    daily_allowance_otu,
    total_allowance_otu,
)
from slatewright.decompression.oxygen_formulas import cns_after_surface_pct
from slatewright.decompression.settings import OxygenBreaks
from slatewright.dive import mends, say
from slatewright.dive.finished import Finished
from slatewright.dive.gases import OXYGEN_FROM
from slatewright.dive.hazard import Change, Hazard, Mend, Severity
from slatewright.dive.plan import Plan
from slatewright.dive.trials import dose_on_surfacing, leaving_earlier
from slatewright.physics.units import UnitSystem, m_from_feet

CNS_WARNING_PCT: Final = 80.0
CNS_LIMIT_PCT: Final = 100.0
LAST_DAY: Final = 30
"""The table of daily pulmonary doses ends here [HAMILTON1988]."""
FASTEST_ASCENT_M_PER_MIN: Final = 10.0
"""The model's gradient is published for ascents of about this rate [BUEHLMANN2002], from memory."""
DEEPEST_M: Final = {UnitSystem.METRIC: 100.0, UnitSystem.IMPERIAL: m_from_feet(330.0)}
"""As deep as courses on open circuit teach, 100 m or 330 ft; practice with this model beyond it is
thin: common practice, no published source."""
LONGEST_MIN: Final = 360.0
"""Dives of more than six hours are outside what the model is used for: common practice, no
published source."""
LOWEST_SURFACE_BAR: Final = 0.6
"""Surface pressure of about 4,200 m; chamber dives of the model's author went to about 4,500 m
[BUEHLMANN2002], from memory."""
LONGEST_ON_OXYGEN_MIN: Final = 30.0
"""A stretch of oxygen longer than this is told of: common practice, no published source, where
breaks are due after 12 to 25 min."""
USUAL_BREAKS_MIN: Final = (12, 6)
"""Minutes on oxygen and off it: common practice, no published source."""
_INTERVALS_MIN: Final = range(30, 1441, 30)


def cns(dive: Finished) -> Iterator[Hazard]:
    """Find a CNS share above 80 and 100 %.

    Parameters
    ----------
    dive
        The finished dive.
    """
    total = dive.oxygen.cns_pct
    if total <= CNS_WARNING_PCT:
        return
    over = total > CNS_LIMIT_PCT
    limit = CNS_LIMIT_PCT if over else CNS_WARNING_PCT
    i = next(i for i, dose in enumerate(dive.oxygen_after_leg) if dose.cns_pct > limit)
    leg = dive.legs[i]
    figure = f"{math.floor(total)} %" if math.isfinite(total) else "beyond the published tables"
    half_time = ("cns_half_time_min",) if dive.plan.carried is not None else ()
    cure, found = _cns_cure(dive)
    yield Hazard(
        "cns", Severity.DANGER if over else Severity.WARNING, leg.end_min, leg.to_m,
        f"the CNS share is {figure} on surfacing, over {limit:.0f} % from {leg.end_min:.0f} min "
        f"on; the power-law index gives a risk of {dive.oxygen.risk_pct:.1f} %",
        "the limit is that of a single exposure; convulsions have come below it",
        cure,
        ("oxygen_table", *half_time),
        found,
    )  # fmt: skip


def _cns_cure(dive: Finished) -> tuple[str, tuple[Mend, ...]]:
    """Name where most of the share is taken, and what was tried and brings it to 80 %."""
    plan = dive.plan
    gas, share = _costliest(dive)
    cures = [f"most of it is taken {gas}" + (f", {share:.0f} %" if share < math.inf else "")]
    found: list[Mend] = []
    # beyond the tables a share is infinite, and only a shallower change of gas makes it less
    if math.isfinite(dive.oxygen.cns_pct):
        tried = [*_shallower_last_stop(plan), *_shorter(plan)]
        found += [mend for _, mend in tried]
        cures += [
            *_lower_setpoints(plan),
            *(text for text, _ in tried),
            *_longer_interval(dive),
        ]
    else:
        cures.append(f"breathe {gas.removeprefix('on ')} shallower")
    if plan.carried is not None and plan.carried.cns_pct > CNS_WARNING_PCT:
        cures.append("no dive before the share carried in has fallen")
    if len(cures) == 1:
        cures.append("less time at depth and on rich gas, or a lower limit of ppO2 at stops")
    return "; ".join(cures), tuple(found)


def _lower_setpoints(plan: Plan) -> Iterator[str]:
    """Tell the highest setpoint that brings the share down, if none of the dive is higher."""
    if plan.loop is None:
        return
    highest = max(plan.loop.setpoints_bar)
    for tenths in range(math.ceil(highest * 10.0 - 1e-9) - 1, 6, -1):
        if _low_cns(replace(plan, loop=plan.loop.no_higher(tenths / 10.0))):
            yield (
                f"no setpoint above {tenths / 10.0:g} bar brings it to {CNS_WARNING_PCT:.0f} % or "
                "less"
            )
            return


def _words(leg: Leg) -> str:
    """Return what a leg is breathed on, as a sentence says it."""
    if leg.setpoint_bar is None:
        return f"on {leg.gas}"
    return f"at a setpoint of {leg.setpoint_bar:g} bar"


def _costliest(dive: Finished) -> tuple[str, float]:
    """Return on which gas most of the CNS share is taken, and how much [%]."""
    share: dict[str, float] = {}
    before = dive.plan.carried.cns_pct if dive.plan.carried else 0.0
    for leg, dose in zip(dive.legs, dive.oxygen_after_leg, strict=True):
        if math.isinf(dose.cns_pct):
            return _words(leg), math.inf
        share[_words(leg)] = share.get(_words(leg), 0.0) + dose.cns_pct - before
        before = dose.cns_pct
    worst = max(share, key=lambda gas: share[gas])
    return worst, share[worst]


def _low_cns(plan: Plan) -> bool:
    dose = dose_on_surfacing(plan)
    return dose is not None and dose.cns_pct <= CNS_WARNING_PCT


def _shallower_last_stop(plan: Plan) -> Iterator[tuple[str, Mend]]:
    step_m = plan.settings.stop_step_m
    if plan.settings.last_stop_m < step_m * 1.5:
        return
    dose = dose_on_surfacing(replace(plan, settings=replace(plan.settings, last_stop_m=step_m)))
    if dose is not None and dose.cns_pct <= CNS_WARNING_PCT:
        stop = f"a last stop at {say.depth(step_m, plan.units)}"
        mend = Mend(f"make {stop}", (Change(("model", "last_stop_{m}"), round(step_m, 6)),))
        yield f"{stop} brings it to {math.ceil(dose.cns_pct)} %", mend


def _shorter(plan: Plan) -> Iterator[tuple[str, Mend]]:
    shorter = leaving_earlier(plan, _low_cns)
    if shorter is not None:
        text = _leave_at(shorter, f"brings it to {CNS_WARNING_PCT:.0f} % or less")
        yield text, mends.leave_at(shorter)


def _leave_at(shorter: Plan, effect: str) -> str:
    last = shorter.levels[-1]
    return (
        f"leaving {say.depth(last.depth_m, shorter.units)} at {last.leave_at_min:.0f} min of run "
        f"time {effect}"
    )


def _longer_interval(dive: Finished) -> Iterator[str]:
    """Tell how much longer a surface interval would do, by the same half-time."""
    carried = dive.plan.carried
    if carried is None or carried.cns_pct <= 0.0:
        return
    own_pct = dive.oxygen.cns_pct - carried.cns_pct
    half_time_min = dive.plan.rules.cns_half_time_min
    for minutes in _INTERVALS_MIN:
        left_pct = cns_after_surface_pct(carried.cns_pct, minutes, half_time_min)
        if own_pct + left_pct <= CNS_WARNING_PCT:
            yield (
                f"{carried.cns_pct:.0f} % were carried in: a surface interval longer by "
                f"{minutes} min brings it to {CNS_WARNING_PCT:.0f} % or less"
            )
            return


def pulmonary(dive: Finished) -> Iterator[Hazard]:
    """Find a pulmonary dose over the allowance of the day or of the run of days.

    Parameters
    ----------
    dive
        The finished dive.
    """
    carried = dive.plan.carried
    day = carried.day if carried else 1
    before = carried.otu_before_today if carried else 0.0
    today = dive.oxygen.otu
    table_day = min(day, LAST_DAY)
    of_day, of_run = daily_allowance_otu(table_day), total_allowance_otu(table_day)
    found = []
    if today > of_day:
        found.append(f"{math.floor(today)} pulmonary units today; day {day} allows {of_day:.0f}")
    if before + today > of_run:
        found.append(
            f"{math.floor(before + today)} pulmonary units in {day} days; {of_run:.0f} are allowed"
        )
    if day > LAST_DAY:
        found.append(f"day {day} of a run of days, and the table ends at day {LAST_DAY}")
    if not found:
        return
    allowed = min(of_day, of_run - before)
    start = OxygenDose(otu=carried.otu_today if carried else 0.0)
    cure, mended = _pulmonary_cure(dive, allowed, start.otu, table_ended=day > LAST_DAY)
    doses = zip(dive.legs, (start, *dive.oxygen_after_leg), dive.oxygen_after_leg, strict=False)
    at = next((leg for leg, _, after in doses if after.otu > allowed), dive.legs[-1])
    yield Hazard(
        "pulmonary", Severity.WARNING, at.end_min, at.to_m, "; ".join(found),
        "days of high oxygen take vital capacity, and leave nothing for a treatment [HAMILTON1988]",
        cure,
        mends=mended,
    )  # fmt: skip


def _pulmonary_cure(
    dive: Finished, allowed: float, carried: float, *, table_ended: bool
) -> tuple[str, tuple[Mend, ...]]:
    plan = dive.plan
    cures = []
    found: tuple[Mend, ...] = ()
    own = dive.oxygen.otu - carried
    if plan.carried is not None and own <= daily_allowance_otu(1):
        cures.append("two days without a dive, which begin a new run of days")
    if allowed > carried and not table_ended:
        shorter = leaving_earlier(plan, lambda trial: _low_otu(trial, allowed))
        if shorter is not None:
            cures.append(_leave_at(shorter, "keeps the allowance"))
            found = (mends.leave_at(shorter),)
    leaner = "leaner gas" if plan.loop is None else "a lower setpoint"
    return "; or ".join(cures) or f"{leaner} at the stops, or less time at depth", found


def _low_otu(plan: Plan, allowed: float) -> bool:
    dose = dose_on_surfacing(plan)
    return dose is not None and dose.otu <= allowed


def ascent_rate(dive: Finished) -> Iterator[Hazard]:
    """Find ascents faster than the model was published for.

    Parameters
    ----------
    dive
        The finished dive.
    """
    units = dive.plan.units
    rates = ((_rate_m_per_min(leg), leg) for leg in dive.legs if leg.kind is LegKind.ASCENT)
    rate, leg = max(rates, key=lambda found: found[0], default=(0.0, dive.legs[-1]))
    if rate > FASTEST_ASCENT_M_PER_MIN + 1e-6:
        yield Hazard(
            "ascent-rate", Severity.WARNING, leg.start_min, leg.from_m,
            f"an ascent of {say.rate(rate, units)} from {say.depth(leg.from_m, units)}",
            "the model's gradients go with ascents of about "
            f"{say.no_faster(FASTEST_ASCENT_M_PER_MIN, units)} [BUEHLMANN2002]",
            f"ascend at {say.no_faster(FASTEST_ASCENT_M_PER_MIN, units)} or slower",
            mends=(_slower(dive.plan),),
        )  # fmt: skip


def _slower(plan: Plan) -> Mend:
    """Return the mend of every rate of ascent that is too fast."""
    settings = plan.settings
    rates = {
        "ascent to_first_stop": settings.to_first_stop_m_per_min,
        "ascent between_stops": settings.between_stops_m_per_min,
        "ascent to_surface": settings.to_surface_m_per_min,
    }
    found = [
        mends.no_faster(plan, key, FASTEST_ASCENT_M_PER_MIN)
        for key, rate in rates.items()
        if rate > FASTEST_ASCENT_M_PER_MIN
    ]
    return Mend(found[0].words, tuple(change for mend in found for change in mend.changes))


def _rate_m_per_min(leg: Leg) -> float:
    return (leg.from_m - leg.to_m) / leg.minutes


def unbroken_oxygen(dive: Finished) -> Iterator[Hazard]:
    """Find long stretches of oxygen without a break.

    Parameters
    ----------
    dive
        The finished dive.
    """
    first: Leg | None = None
    longest_min, at = 0.0, dive.legs[-1]
    for leg in dive.legs:
        if leg.gas.o2 < OXYGEN_FROM:
            first = None
            continue
        first = first or leg
        if leg.end_min - first.start_min > longest_min:
            longest_min, at = leg.end_min - first.start_min, first
    if longest_min > LONGEST_ON_OXYGEN_MIN + 1e-6:
        planned = dive.plan.settings.breaks
        yield Hazard(
            "unbroken-oxygen", Severity.NOTE, at.start_min, at.from_m,
            f"{longest_min:.0f} min of oxygen without a break",
            "breaks to a leaner gas (12 min on, 6 off) are common practice, no published source",
            "plan breaks, with a gas that may be breathed there"
            if planned is None
            else f"a break after {LONGEST_ON_OXYGEN_MIN:.0f} min at most, not {planned.on_min}",
            mends=_breaks(dive.plan),
        )  # fmt: skip


def _breaks(plan: Plan) -> tuple[Mend, ...]:
    """Return the mend that plans breaks, if there is a gas for them."""
    planned = plan.settings.breaks
    if planned is not None:
        on_min = int(LONGEST_ON_OXYGEN_MIN)
        return (Mend(f"a break after {on_min} min", (Change(("breaks", "on_min"), on_min),)),)
    breaks = OxygenBreaks(*USUAL_BREAKS_MIN, counted=plan.rules.breaks == "counted")
    trial = replace(plan, settings=replace(plan.settings, breaks=breaks))
    if dose_on_surfacing(trial) is None:
        return ()
    written = (("breaks", "on_min"), breaks.on_min), (("breaks", "off_min"), breaks.off_min)
    words = f"plan breaks, {breaks.on_min} min on and {breaks.off_min} off"
    return (Mend(words, tuple(Change(path, value) for path, value in written)),)


def out_of_range(dive: Finished) -> Iterator[Hazard]:
    """Tell where the plan leaves the range in which the model and its use are published.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    limit_m = DEEPEST_M[plan.units]
    reasons, cures = [], []
    if plan.deepest_m > limit_m + 1e-6:
        reasons.append(f"deeper than {say.no_deeper(limit_m, plan.units)}")
        cures.append(f"stay at {say.no_deeper(limit_m, plan.units)} or shallower")
    if dive.runtime_min > LONGEST_MIN:
        reasons.append(f"longer than {LONGEST_MIN / 60:.0f} h")
        cures.append("less time at depth")
    if plan.water.surface_bar < LOWEST_SURFACE_BAR:
        reasons.append(f"at a surface pressure below {LOWEST_SURFACE_BAR:g} bar")
        cures.append("dive lower down")
    if reasons:
        yield Hazard(
            "out-of-range", Severity.WARNING, dive.bottom_left_min, plan.deepest_m,
            "the dive is " + " and ".join(reasons),
            "the model is an extrapolation there, with few dives behind it",
            ", and ".join(cures) + "; or the advice of those who have data for such dives",
        )  # fmt: skip
