"""When to turn: the gas beyond the minimum gas, by rule, matched within the team by volume.

Pressures of unequal cylinders say nothing about each other, so all is matched in moles; what each
diver then reads is worked out at the end, on each gauge and in its units, rounded up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem, bar_from_psi, psi_from_bar, round_up
from slatewright.sources import Symbol, formula
from slatewright.supply.kit import TurnRule

GAUGE_STEP: Final = {UnitSystem.METRIC: 5.0, UnitSystem.IMPERIAL: 100.0}
"""What a diver tells apart on a gauge, in bar or psi (common practice, no published source)."""

_SHARES: Final = {
    TurnRule.ALL_USABLE: (1.0, 0.0),
    TurnRule.HALVES: (2.0, 0.0),
    TurnRule.THIRDS: (2.0, 1.0),
    TurnRule.SIXTHS: (4.0, 2.0),
}
"""How often the way out must be paid: for oneself, and for the other on one's own supply."""


@formula(
    name="turn-amount",
    title="Gas to be used before turning, by own gas and the partner's breathing",
    equation="n = U·q / (a·q + b·q_o)",
    result=Symbol("n", "mol", "amount to be used before turning"),
    symbols={
        "usable_mol": Symbol("U", "mol", "amount beyond the minimum gas", 0.0),
        "own_l_per_min": Symbol("q", "L/min", "own RMV", 0.0),
        "other_l_per_min": Symbol("q_o", "L/min", "RMV of the greediest partner", 0.0),
        "own_times": Symbol("a", "-", "how often the way out is paid for oneself", 1.0),
        "other_times": Symbol("b", "-", "how often for the partner", 0.0),
    },
    source=("common practice, no published source",),
    valid="all usable a = 1, b = 0; halves 2, 0; thirds 2, 1; sixths 4, 2: with equal breathing "
    "the whole, a half, a third and a sixth",
)
def turn_amount_mol(
    usable_mol: float,
    own_l_per_min: float,
    other_l_per_min: float,
    own_times: float,
    other_times: float,
) -> float:
    """Return the amount that a diver may use before turning.

    Parameters
    ----------
    usable_mol
        Amount beyond the minimum gas [mol].
    own_l_per_min
        RMV of the diver [L/min].
    other_l_per_min
        RMV of the greediest partner [L/min].
    own_times
        How often the way out is paid for oneself: out, and back [-].
    other_times
        How often it is paid for the partner: back [-].

    Returns
    -------
    float
        Amount [mol].
    """
    shares = own_times * own_l_per_min + other_times * other_l_per_min
    return usable_mol * own_l_per_min / shares


@dataclass(frozen=True, slots=True)
class Turn:
    """When a diver turns.

    Parameters
    ----------
    usable_mol
        What the diver has beyond the minimum gas; zero if there is not even that [mol].
    alone_mol
        What the diver could use by the rule with the own gas [mol].
    use_mol
        What the diver uses until the first of the team turns [mol].
    decides
        True for the least well supplied, at whom all turn.
    """

    usable_mol: float
    alone_mol: float
    use_mol: float
    decides: bool


def turns(
    usable_mol: Sequence[float], rmv_l_per_min: Sequence[float], rule: TurnRule
) -> tuple[Turn, ...]:
    """Match a team: the diver whose gas allows the shortest way decides for all.

    Parameters
    ----------
    usable_mol
        What each has beyond the minimum gas [mol].
    rmv_l_per_min
        What each breathes on the way out [L/min].
    rule
        How the usable gas may be used.

    Returns
    -------
    tuple
        One entry a diver.

    Raises
    ------
    InputError
        If there is nobody, or somebody does not breathe.
    """
    if not usable_mol or not all(rate > 0.0 for rate in rmv_l_per_min):
        raise InputError("a team in which somebody does not breathe", right="RMV above zero")
    own, other = _SHARES[rule]
    alone = []
    for i, (usable, rate) in enumerate(zip(usable_mol, rmv_l_per_min, strict=True)):
        others = [r for j, r in enumerate(rmv_l_per_min) if j != i]
        greediest = max(others, default=rate)
        alone.append(turn_amount_mol(max(0.0, usable), rate, greediest, own, other))
    ways = [amount / rate for amount, rate in zip(alone, rmv_l_per_min, strict=True)]
    shortest = min(ways)
    return tuple(
        Turn(
            usable_mol=max(0.0, usable),
            alone_mol=amount,
            use_mol=rate * shortest,
            decides=i == ways.index(shortest),
        )
        for i, (usable, amount, rate) in enumerate(
            zip(usable_mol, alone, rmv_l_per_min, strict=True)
        )
    )


def readable_gauge_bar(gauge_bar: float, units: UnitSystem) -> float:
    """Return a pressure rounded up to what can be read under water on a gauge.

    Parameters
    ----------
    gauge_bar
        Pressure on the gauge [bar].
    units
        The units of the gauge.

    Returns
    -------
    float
        The same or more: a multiple of 5 bar, or of 100 psi [bar].
    """
    step = GAUGE_STEP[units]
    if units is UnitSystem.METRIC:
        return round_up(gauge_bar, step)
    return bar_from_psi(round_up(psi_from_bar(gauge_bar), step))
