"""Cents: rounded half up, and shared without one being lost."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slatewright.errors import InputError
from slatewright.ledger.money import about, rounded, shares


@pytest.mark.parametrize(
    ("amount", "cents"),
    [
        ("0.005", "0.01"),
        ("0.015", "0.02"),
        ("2.675", "2.68"),
        ("1.004999", "1.00"),
        ("-0.005", "-0.01"),
    ],
)
def test_half_a_cent_is_rounded_up(amount, cents):
    assert rounded(Decimal(amount)) == Decimal(cents)


@given(
    st.integers(0, 10**9).map(lambda cents: Decimal(cents) / 100),
    st.lists(st.integers(0, 1000), min_size=1, max_size=12).filter(any),
)
def test_shares_sum_to_what_was_shared(total, weights):
    found = shares(total, [Decimal(weight) for weight in weights])
    assert sum(found) == total
    whole = sum(weights)
    for share, weight in zip(found, weights, strict=True):
        assert abs(share - total * weight / whole) < Decimal("0.01")


def test_the_odd_cent_goes_to_the_first():
    assert shares(Decimal("100.00"), [Decimal(1)] * 3) == (
        Decimal("33.34"),
        Decimal("33.33"),
        Decimal("33.33"),
    )


def test_nobody_to_share_with_is_refused():
    with pytest.raises(InputError, match="nobody"):
        shares(Decimal(1), [Decimal(0)])


def test_as_read():
    assert about(Decimal("61584.37"), "EUR") == "61,600 EUR"
    assert about(Decimal("-87.6"), "EUR") == "-88 EUR"
