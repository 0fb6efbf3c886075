"""Hazards of dose and pace: oxygen loads, ascent rate, and plans outside the model's range."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import (
    OxygenDose,
    daily_allowance_otu,
    total_allowance_otu,
)
from slatewright.dive.finished import Finished
from slatewright.dive.gases import OXYGEN_FROM
from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.hazards_gas import shown

CNS_WARNING_PCT: Final = 80.0
CNS_LIMIT_PCT: Final = 100.0
FASTEST_ASCENT_M_PER_MIN: Final = 10.0
"""The model's gradient is published for ascents of about this rate [BUEHLMANN2002], from memory."""
DEEPEST_PUBLISHED_M: Final = 100.0
"""Open-circuit diving deeper than this is outside what courses teach: common practice."""
LONGEST_PUBLISHED_MIN: Final = 360.0
HIGHEST_PUBLISHED_BAR: Final = 0.6
"""Surface pressure of about 4,000 m; chamber dives of the model's author went to about 4,500 m
[BUEHLMANN2002], from memory."""
LONGEST_ON_OXYGEN_MIN: Final = 30.0


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
    figure = "beyond the published tables" if math.isinf(total) else f"{total:.0f} %"
    opinion = f"the power-law index gives a risk of {dive.oxygen.risk_pct:.1f} %"
    yield Hazard(
        "cns", Severity.DANGER if over else Severity.WARNING, leg.end_min, leg.to_m,
        f"the CNS share is {figure} on surfacing, over {limit:.0f} % from {leg.end_min:.0f} min "
        f"on; {opinion}",
        "the limit is that of a single exposure; convulsions have come below it",
        _cns_cure(dive),
        ("oxygen_table", "cns_half_time_min"),
    )  # fmt: skip


def _cns_cure(dive: Finished) -> str:
    """Name the gas on which most of the share is taken, and what would lessen it."""
    share: dict[object, float] = {}
    before = OxygenDose(cns_pct=dive.plan.carried.cns_pct if dive.plan.carried else 0.0)
    for leg, dose in zip(dive.legs, dive.oxygen_after_leg, strict=True):
        if math.isfinite(dose.cns_pct):
            share[leg.gas] = share.get(leg.gas, 0.0) + dose.cns_pct - before.cns_pct
        before = dose
    worst = max(share, key=lambda gas: share[gas])
    cures = [f"less time at depth; {worst} takes {share[worst]:.0f} % of it"]
    plan = dive.plan
    carried_pct = plan.carried.cns_pct if plan.carried else 0.0
    if carried_pct > 5.0:
        cures.append(f"{carried_pct:.0f} % were carried in: a longer surface interval")
    oxygen = [mix for mix in share if getattr(mix, "o2", 0.0) >= OXYGEN_FROM]
    step_m = plan.settings.stop_step_m
    if oxygen and plan.settings.last_stop_m > step_m * 1.5:
        cures.append(f"a last stop at {shown(step_m, plan)}, where oxygen costs less")
    elif oxygen:
        cures.append("oxygen only at the last stop, or a leaner gas in its place")
    return "; ".join(cures)


def pulmonary(dive: Finished) -> Iterator[Hazard]:
    """Find a pulmonary dose over the allowance of the day or of the run of days.

    Parameters
    ----------
    dive
        The finished dive.
    """
    carried = dive.plan.carried
    day = min(carried.day, 30) if carried else 1
    before = carried.otu_before_today if carried else 0.0
    today = dive.oxygen.otu
    allowed_day, allowed_all = daily_allowance_otu(day), total_allowance_otu(day)
    if today <= allowed_day and before + today <= allowed_all:
        return
    if today > allowed_day:
        text = f"{today:.0f} pulmonary units today; day {day} allows {allowed_day:.0f}"
    else:
        text = f"{before + today:.0f} pulmonary units in {day} days; {allowed_all:.0f} are allowed"
    yield Hazard(
        "pulmonary", Severity.WARNING, dive.runtime_min, 0.0, text,
        "days of high oxygen take vital capacity, and leave nothing for a treatment [HAMILTON1988]",
        "a day without oxygen, or less time on rich gas",
    )  # fmt: skip


def ascent_rate(dive: Finished) -> Iterator[Hazard]:
    """Find ascents faster than the model was published for.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    rates = ((_rate_m_per_min(leg), leg) for leg in dive.legs if leg.kind is LegKind.ASCENT)
    rate, leg = max(rates, key=lambda found: found[0], default=(0.0, dive.legs[-1]))
    if rate > FASTEST_ASCENT_M_PER_MIN + 1e-6:
        yield Hazard(
            "ascent-rate", Severity.WARNING, leg.start_min, leg.from_m,
            f"an ascent of {shown(rate, plan)}/min from {shown(leg.from_m, plan)}",
            "the model's gradients go with ascents of about "
            f"{shown(FASTEST_ASCENT_M_PER_MIN, plan)}/min [BUEHLMANN2002]",
            f"ascend at {shown(FASTEST_ASCENT_M_PER_MIN, plan)}/min or slower",
        )  # fmt: skip


def _rate_m_per_min(leg: Leg) -> float:
    return (leg.from_m - leg.to_m) / leg.minutes


def unbroken_oxygen(dive: Finished) -> Iterator[Hazard]:
    """Find long stretches of oxygen without a break.

    Parameters
    ----------
    dive
        The finished dive.
    """
    since_min, longest_min, at = None, 0.0, dive.legs[-1]
    for leg in dive.legs:
        if leg.gas.o2 < OXYGEN_FROM:
            since_min = None
            continue
        since_min = leg.start_min if since_min is None else since_min
        if leg.end_min - since_min > longest_min:
            longest_min, at = leg.end_min - since_min, leg
    if longest_min > LONGEST_ON_OXYGEN_MIN:
        yield Hazard(
            "unbroken-oxygen", Severity.NOTE, at.start_min, at.from_m,
            f"{longest_min:.0f} min of oxygen without a break",
            "breaks to a leaner gas (12 min on, 6 off) are common practice, no published source",
            "plan breaks, with a gas that may be breathed there",
            ("breaks",),
        )  # fmt: skip


def out_of_range(dive: Finished) -> Iterator[Hazard]:
    """Tell where the plan leaves the range in which the model and its use are published.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    reasons = []
    if plan.deepest_m > DEEPEST_PUBLISHED_M + 1.0:
        reasons.append(f"deeper than {shown(DEEPEST_PUBLISHED_M, plan)}")
    if dive.runtime_min > LONGEST_PUBLISHED_MIN:
        reasons.append(f"longer than {LONGEST_PUBLISHED_MIN / 60:.0f} h")
    if plan.water.surface_bar < HIGHEST_PUBLISHED_BAR:
        reasons.append("higher than about 4,000 m")
    if reasons:
        yield Hazard(
            "out-of-range", Severity.WARNING, dive.bottom_left_min, plan.deepest_m,
            "the dive is " + " and ".join(reasons),
            "the model is an extrapolation there, with few dives behind it",
            "a dive within the range, or the advice of those who have data for it",
        )  # fmt: skip
