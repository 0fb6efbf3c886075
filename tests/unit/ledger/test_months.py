"""Both ways month by month, against the closed formula and sums by hand."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slatewright.ledger.months import Way, break_even_month, dives_until, month_by_month
from slatewright.ledger.rates import Gear
from slatewright.ledger.unit_costs import break_even_dives, resale
from slatewright.ledger.ways import Spread

from .comparing import kind, step, ways


@given(
    st.integers(500, 20_000),
    st.integers(20, 200),
    st.integers(0, 150),
    st.integers(0, 1000),
    st.integers(6, 150),
)
def test_the_constant_case_is_the_closed_formula(start, first, second, keeping, per_year):
    """Two straight lines meet where the formula says, in the month after."""
    gear = Gear(Decimal(start), service_per_year=Decimal(keeping))
    found = break_even_month(
        ways(kind(per_year, first, second), gear=gear, years=15), Way.CLOSED, Way.OPEN
    )
    dives = break_even_dives(start, first, second, keeping, per_year)
    months = dives / per_year * 12
    if months > 15 * 12 + 1e-6:
        assert found is None
    elif abs(months - round(months)) < 1e-6:
        assert found in {round(months), round(months) + 1}  # cents are rounded
    else:
        assert found == math.ceil(months)


def test_by_hand():
    """6,000 more at the start, 52 saved a dive, 40 dives a year: 115.4 dives, month 35."""
    assert break_even_dives(6000, 80, 28, 0, 40) == pytest.approx(115.38, abs=0.01)
    assert break_even_month(ways()) == 35
    assert dives_until(ways(), 35) == pytest.approx(116.67, abs=0.01)


def test_never_is_said():
    assert break_even_dives(6000, 30, 28, 100, 40) == math.inf
    assert break_even_month(ways(kind(open_cost=30))) is None


def test_what_both_spend_by_hand():
    asked = ways(
        kind(12, 50, 20),
        price=5000,
        cell=Decimal(100),
        cells=3,
        cell_months=12,
        years=2,
        course=Decimal(800),
    )
    stays = month_by_month(asked, Way.OPEN)
    changes = month_by_month(asked, Way.CLOSED)
    assert (stays[0].spent, stays[12].spent, stays[24].spent) == (
        Decimal(800),
        Decimal(1400),
        Decimal(2000),
    )
    assert (changes[0].spent, changes[11].spent) == (Decimal(5000), Decimal(5220))
    assert changes[12].spent == Decimal(5540)  # 12 dives of 20, and three cells
    assert changes[24].spent == Decimal(6080)
    assert stays[24].dives == changes[24].dives == 24


def test_gear_is_worth_something_when_sold():
    assert resale(1000, 0.8, 0.5, 1) == 400
    asked = ways(gear=Gear(Decimal(1000), resale_pct=80, fall_pct_per_year=50), years=1)
    changes = month_by_month(asked, Way.CLOSED)
    assert changes[0].net == Decimal(200)
    assert changes[12].resale == Decimal(400)


def test_deeper_dives_stay_on_open_circuit_until_the_step_is_done():
    deep = kind(12, 100, 10, deepest_m=60)
    asked = ways(
        deep,
        price=0,
        years=1,
        steps=(step(), step("deeper", 0, 60.0, after_months=6)),
        open_gear=Gear(Decimal(900)),
    )
    changes = month_by_month(asked, Way.CLOSED)
    assert changes[0].spent == Decimal(1500 + 900)  # the step, and open gear
    assert changes[6].spent - changes[0].spent == Decimal(600)
    assert changes[12].spent - changes[6].spent == Decimal(60)


def test_a_step_that_asks_for_dives_waits_for_them():
    shallow, deep = kind(12, 0, 0, deepest_m=30), kind(12, 100, 10, deepest_m=60)
    asked = ways(shallow, deep, price=0, years=1, steps=(step(price=0), step("b", 0, 60.0, 0, 5)))
    changes = month_by_month(asked, Way.CLOSED)
    assert changes[5].spent == Decimal(500)
    assert changes[6].spent == Decimal(510)


def test_helium_rises_by_the_year():
    asked = ways(
        kind(12, 0, 0, helium=100), price=0, years=1, spread=Spread(helium_pct_per_year=10)
    )
    spent = month_by_month(asked, Way.OPEN)[12].spent
    by_hand = sum(100 * 1.1 ** (m / 12) for m in range(1, 13))
    assert float(spent) == pytest.approx(by_hand, abs=0.02)


def test_changing_later_is_open_first_and_closed_then():
    asked = ways(years=2, change_after_months=12, course=Decimal(800))
    later = month_by_month(asked, Way.LATER)
    stays = month_by_month(asked, Way.OPEN)
    changes = month_by_month(asked, Way.CLOSED)
    assert later[11].spent == stays[11].spent
    assert later[12].spent == stays[12].spent + Decimal(6000)
    assert later[24].spent == stays[12].spent + changes[12].spent
