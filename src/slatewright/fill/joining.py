"""Two cylinders and a whip: what is in each when their pressures have become equal."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.fill.banks import Bank, BankCylinder, draw
from slatewright.fill.state import REFERENCE_K, mol_of, part, pressure_of
from slatewright.physics.amount import Amount


@dataclass(frozen=True, slots=True)
class Joined:
    """Two cylinders after a whip between them has been opened and closed.

    Parameters
    ----------
    first, second
        What is in each; the one that had less pressure holds the mixture.
    pressure_bar
        The absolute pressure of both [bar].
    """

    first: Amount | None
    second: Amount | None
    pressure_bar: float


def join(
    first: Amount | None,
    first_l: float,
    second: Amount | None,
    second_l: float,
    temperature_k: float = REFERENCE_K,
) -> Joined:
    """Let the pressures of two cylinders become equal.

    The gas of the fuller one flows until the pressures are equal; nothing flows back.

    Parameters
    ----------
    first, second
        What is in each; None for a vacuum, but not in both.
    first_l, second_l
        Their water volumes [L].
    temperature_k
        Temperature of both [K].

    Returns
    -------
    Joined
        Both afterwards.
    """
    first_bar = pressure_of(first, first_l, temperature_k)
    second_bar = pressure_of(second, second_l, temperature_k)
    if first_bar < second_bar:
        swapped = join(second, second_l, first, first_l, temperature_k)
        return Joined(swapped.second, swapped.first, swapped.pressure_bar)
    if first is None:
        return Joined(None, None, 0.0)
    held_mol = first.total_mol
    bank = Bank(first, (BankCylinder("fuller", first_l, held_mol),), temperature_k, 0.0)
    drawn = draw(bank, second, second_l, temperature_k, held_mol)
    left = part(first, drawn.bank.amount_mol / held_mol)
    received = drawn.contents if mol_of(drawn.contents) else None
    return Joined(left, received, pressure_of(received, second_l, temperature_k))
