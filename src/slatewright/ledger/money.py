"""Money: decimals, rounded half up to the cent, and shares that sum to what was shared."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Final

from slatewright.errors import InputError

CENT: Final = Decimal("0.01")
NOTHING: Final = Decimal("0.00")
ROUNDING: Final = "each line is rounded half up to the cent, and sums are sums of rounded lines"
"""What every bill says of itself."""


def rounded(amount: Decimal) -> Decimal:
    """Return an amount of money to the cent, half up.

    Parameters
    ----------
    amount
        The amount.
    """
    return amount.quantize(CENT, ROUND_HALF_UP)


def shares(total: Decimal, weights: Sequence[Decimal]) -> tuple[Decimal, ...]:
    """Return an amount shared by weight, to the cent, so that the shares sum to it.

    Parameters
    ----------
    total
        The amount, in whole cents.
    weights
        One for each share, none below zero, not all zero.

    Returns
    -------
    tuple
        The shares. Each is rounded down first; the cents that are left over go one each to those
        who lost most by that, the earlier one first.

    Raises
    ------
    InputError
        If there is nobody to share with.
    """
    whole = sum((Fraction(weight) for weight in weights), Fraction(0))
    if whole <= 0 or any(weight < 0 for weight in weights):
        raise InputError("there is nobody to share with", right="weights of 0 and above, not all 0")
    cents = [Fraction(total) * 100 * Fraction(weight) / whole for weight in weights]
    down = [int(share // 1) for share in cents]
    left = int(Fraction(total) * 100) - sum(down)
    losers = sorted(range(len(cents)), key=lambda i: (down[i] - cents[i], i))
    for i in losers[:left]:
        down[i] += 1
    return tuple((Decimal(share) / 100).quantize(CENT) for share in down)


def about(amount: Decimal, currency: str) -> str:
    """Return an amount that is an estimate: to three figures and no cents.

    Parameters
    ----------
    amount
        The amount.
    currency
        Its three letters.
    """
    whole = int(rounded(amount).quantize(Decimal(1), ROUND_HALF_UP))
    unit = 10 ** max(0, len(str(abs(whole))) - 3)
    near = int((Decimal(whole) / unit).quantize(Decimal(1), ROUND_HALF_UP)) * unit
    return f"{near:,} {currency}"
