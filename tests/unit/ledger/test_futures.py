"""Many futures: their mean is the expected case, and what does not vary does not."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from slatewright.errors import InputError
from slatewright.ledger.futures import NEVER, simulate
from slatewright.ledger.months import Way, month_by_month
from slatewright.ledger.rates import Gear
from slatewright.ledger.verdict import compare
from slatewright.ledger.ways import Spread

from .comparing import kind, step, ways

WILD = Spread(5, 25, 30, 0)
COUNT = 4000


def test_the_mean_of_all_futures_is_the_expected_case():
    asked = ways(
        kind(30, 20, 25, 40, helium=60),
        kind(10, 30, 35, 90, helium=180),
        spread=WILD,
        steps=(step(), step("b", 900, 100.0, 6)),
        open_gear=Gear(Decimal(2000), 60, 10, Decimal(200)),
        gear=Gear(Decimal(8000), 75, 15, Decimal(400), Decimal(120)),
        cell=Decimal(95),
        cells=3,
        course=Decimal(2000),
        change_after_months=18,
    )
    futures = simulate(asked, COUNT)
    for way, cents in futures.net_cents.items():
        expected = month_by_month(asked, way)
        for month in (0, 1, 18, 60):
            error = cents[month].std() / np.sqrt(COUNT)
            assert cents[month].mean() / 100 == pytest.approx(
                float(expected[month].net), abs=max(4 * error / 100, 0.6)
            )


def test_without_chance_but_in_the_number_of_dives_half_break_even_as_expected():
    low, middle, high = simulate(ways(), COUNT).break_even_range()
    assert low < 35 <= middle + 1
    assert abs(middle - 35) <= 1
    assert high > 35


def test_the_same_question_has_the_same_answer():
    one, other = simulate(ways(spread=WILD), 300), simulate(ways(spread=WILD), 300)
    assert np.array_equal(one.break_even_months, other.break_even_months)
    assert np.array_equal(one.net_cents[Way.OPEN], other.net_cents[Way.OPEN])


def test_money_is_whole_cents():
    for cents in simulate(ways(spread=WILD), 50).net_cents.values():
        assert cents.dtype == np.int64


def test_who_stops_spends_no_more_and_never_buys_later():
    asked = ways(spread=Spread(dropout_pct_per_year=99.999999), change_after_months=24, years=4)
    futures = simulate(asked, 200)
    assert futures.stopped.all()
    assert (futures.dives[36] == futures.dives[48]).all()
    for cents in futures.net_cents.values():
        assert np.array_equal(cents[36], cents[48])
    assert np.array_equal(futures.net_cents[Way.LATER][48], futures.net_cents[Way.OPEN][48])


def test_dropping_out_is_as_often_as_said():
    stopped = simulate(ways(spread=Spread(dropout_pct_per_year=20), years=5), COUNT).stopped
    share = 1 - 0.8**5
    assert stopped.mean() == pytest.approx(share, abs=4 * np.sqrt(share * (1 - share) / COUNT))


def test_never_is_counted():
    futures = simulate(ways(kind(open_cost=30)), 200)
    assert futures.never_pct == 100
    assert (futures.break_even_months == NEVER).all()
    assert futures.break_even_range() == (None, None, None)


@pytest.mark.parametrize("count", [0, -1, 10**6])
def test_too_many_futures_are_refused(count):
    with pytest.raises(InputError, match="futures"):
        simulate(ways(), count)


def test_never_is_said_plainly():
    said = " ".join(compare(ways(kind(open_cost=30)), 200).sentences)
    assert "never pays for itself within 5 years" in said
    assert "in 100 of 100 futures" in said


def test_a_course_that_is_not_worth_it_is_said_to_be_so():
    asked = ways(course=Decimal(3000), change_after_months=12)
    said = " ".join(compare(asked, 200).sentences)
    assert "not worth its money" in said


def test_steps_that_nobody_can_reach_are_told():
    deep = kind(12, 100, 10, deepest_m=60)
    asked = ways(deep, steps=(step(), step("deeper", 0, 60.0, after_dives=20)))
    said = " ".join(compare(asked, 200).sentences)
    assert "'deeper' asks for dives on the unit" in said
