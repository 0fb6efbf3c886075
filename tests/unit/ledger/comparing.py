"""Comparisons to test with; every figure is invented."""

from __future__ import annotations

from decimal import Decimal

from slatewright.ledger.rates import ClosedRates, Gear, Step
from slatewright.ledger.ways import DiveCost, Kind, Spread, Ways

NO_GEAR = Gear()


def kind(per_year=40.0, open_cost=80, closed_cost=28, deepest_m=60.0, helium=0):
    return Kind(
        "a reef",
        deepest_m,
        per_year,
        DiveCost(Decimal(helium), Decimal(open_cost)),
        DiveCost(Decimal(0), Decimal(closed_cost)),
    )


def ways(*kinds, price=6000, years=5, spread=None, open_gear=NO_GEAR, **more):
    rates = {
        name: more.pop(name) for name in ("steps", "cell", "cells", "cell_months") if name in more
    }
    gear = more.pop("gear", Gear(Decimal(price)))
    return Ways(
        "reefs",
        "EUR",
        years,
        kinds or (kind(),),
        open_gear,
        ClosedRates(gear, **rates),
        spread or Spread(),
        **more,
    )


def step(name="the unit", price=1500, deepest_m=40.0, after_months=0, after_dives=0):
    return Step(name, Decimal(price), deepest_m, after_months, after_dives)
