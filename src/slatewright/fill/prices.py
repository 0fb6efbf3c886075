"""Money: what gas costs. All of it is computed here, in decimals, and nowhere else.

A bill charges the helium and the oxygen that were added, and a fee for each fill; the oxygen that
comes with air is air. What came out of a bank of ready mixture is charged by the price of that
mixture, or else by the helium and the oxygen that were once added to the air in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.amount import HELIUM, Amount, Gas
from slatewright.physics.mixture import AIR, AIR_O2, OXYGEN, Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.sources import Symbol, formula

CENT: Final = Decimal("0.01")
_TENTH: Final = Decimal("0.1")
_SAME: Final = 1e-9
_PURE: Final = 1.0 - _SAME
NOTHING: Final = Decimal("0.00")


@formula(
    name="oxygen-added",
    title="Oxygen of a mixture that did not come with air",
    equation="n_O2' = n_O2 - n_N2·0.21/(1 - 0.21), at least 0",
    result=Symbol("n_O2'", "mol", "oxygen added as such"),
    symbols={
        "o2_mol": Symbol("n_O2", "mol", "oxygen", 0.0),
        "n2_mol": Symbol("n_N2", "mol", "nitrogen, argon included", 0.0),
    },
    source=("common practice, no published source: a bill does not charge air's oxygen",),
    valid="mixtures whose nitrogen came with air of 21 % oxygen",
)
def oxygen_added_mol(o2_mol: float, n2_mol: float) -> float:
    """Return the oxygen that did not come with the air of a mixture.

    Parameters
    ----------
    o2_mol
        Oxygen in all [mol].
    n2_mol
        Nitrogen, argon included [mol].

    Returns
    -------
    float
        Oxygen that was added as such [mol].
    """
    with_air = n2_mol * AIR_O2 / (1.0 - AIR_O2)
    return max(0.0, o2_mol - with_air)


def gas_name(gas: Gas) -> str:
    """Return what price lists and steps call a gas: ``helium``, ``oxygen``, ``air``, ``18/45``.

    Parameters
    ----------
    gas
        Its fractions.
    """
    if gas.he > _PURE:
        return "helium"
    if gas.o2 > _PURE:
        return "oxygen"
    if gas.he < _SAME and gas.o2 < _SAME:
        return "nitrogen"
    return str(Mixture(gas.o2, gas.he)) if gas.o2 > 0.0 else f"helium {gas.he * 100:.1f} %"


@dataclass(frozen=True, slots=True)
class GasPrice:
    """What one gas costs.

    Parameters
    ----------
    gas
        ``helium``, ``oxygen``, ``air``, or a mixture in the trade's notation.
    per_free_l
        Price of a free litre.
    per_fill
        Fee for each fill that has this gas in it.
    minimum_free_l
        The least that the dealer delivers, for orders [L].
    """

    gas: str
    per_free_l: Decimal = NOTHING
    per_fill: Decimal = NOTHING
    minimum_free_l: float = 0.0

    def __post_init__(self) -> None:
        if self.per_free_l < 0 or self.per_fill < 0 or not self.minimum_free_l >= 0.0:
            raise InputError(f"a price of {self.gas} is below zero", right="zero or more")


@dataclass(frozen=True, slots=True)
class Offer:
    """A full supply cylinder that can be bought or hired.

    Parameters
    ----------
    name
        What the dealer calls it, unique in the list.
    gas
        ``helium`` or ``oxygen``.
    water_volume_l
        Water volume [L].
    gauge_bar
        Pressure on the gauge when full, at 20 degC [bar].
    price
        Price of the filling; None to charge its contents by the free litre.
    hire
        Hire of the cylinder.
    """

    name: str
    gas: str
    water_volume_l: float
    gauge_bar: float
    price: Decimal | None = None
    hire: Decimal = NOTHING


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a bill.

    Parameters
    ----------
    gas
        What is charged.
    free_l
        How much, to a tenth of a free litre.
    fills
        How many fees for a fill.
    cost
        The sum of the line, to the cent.
    """

    gas: str
    free_l: Decimal
    fills: int
    cost: Decimal


@dataclass(frozen=True, slots=True)
class Bill:
    """What was charged.

    Parameters
    ----------
    currency
        The currency, such as ``EUR``.
    lines
        One a gas, sorted by name.
    """

    currency: str
    lines: tuple[Line, ...]

    @property
    def total(self) -> Decimal:
        """The sum of the lines."""
        return sum((line.cost for line in self.lines), NOTHING)


@dataclass(frozen=True)
class Prices:
    """A price list.

    Parameters
    ----------
    currency
        The currency, such as ``EUR``.
    on
        The day of the list.
    gases
        Name of the gas to its price.
    offers
        Supply cylinders.
    """

    currency: str
    on: date
    gases: Mapping[str, GasPrice] = field(default_factory=dict)
    offers: tuple[Offer, ...] = ()

    def bill(self, added: Sequence[tuple[Gas, float]]) -> Bill:
        """Return the bill of one fill.

        Parameters
        ----------
        added
            Pairs of gas and amount [mol], as they went in.

        Returns
        -------
        Bill
            Lines to the cent, rounded half up, each by itself.

        Raises
        ------
        InputError
            If the list has no price of helium or oxygen and some was added.
        """
        litres: dict[str, float] = {}
        for gas, amount_mol in added:
            for name, free_l in self._charged(gas, amount_mol):
                litres[name] = litres.get(name, 0.0) + free_l
        return Bill(self.currency, tuple(self._line(*item) for item in sorted(litres.items())))

    def cost_of_free_l(self, gas: str, free_l: float) -> Decimal:
        """Return the price of so much gas, without fees, to the cent.

        Parameters
        ----------
        gas
            Its name.
        free_l
            Free gas [L].
        """
        return (_litres(free_l) * self._price(gas).per_free_l).quantize(CENT, ROUND_HALF_UP)

    def cost_of_order(self, gas: str, lines: Sequence[tuple[Offer, float, int]]) -> Decimal:
        """Return the price of supply cylinders of one gas, with hire, to the cent.

        The whole contents are paid for, what cannot be used too; of gas that is charged by the
        free litre no less than the dealer's least order.

        Parameters
        ----------
        gas
            The gas.
        lines
            Cylinder, free gas in a full one [L], and how many of them.
        """
        total = sum((offer.hire * count for offer, _, count in lines), NOTHING)
        total += sum(
            (offer.price * count for offer, _, count in lines if offer.price is not None), NOTHING
        )
        by_litre_l = sum(each_l * count for offer, each_l, count in lines if offer.price is None)
        if by_litre_l > 0.0:
            total += self.cost_of_free_l(gas, max(by_litre_l, self.minimum_free_l(gas)))
        return total.quantize(CENT, ROUND_HALF_UP)

    def minimum_free_l(self, gas: str) -> float:
        """Return the least of a gas that is delivered [L].

        Parameters
        ----------
        gas
            Its name.
        """
        return self._price(gas).minimum_free_l

    def _charged(self, gas: Gas, amount_mol: float) -> list[tuple[str, float]]:
        name = gas_name(gas)
        if name in self.gases or name in {"helium", "oxygen", "nitrogen"}:
            return [(name, free_litres(gas, amount_mol))]
        whole = Amount.of(gas, amount_mol)
        oxygen_mol = oxygen_added_mol(whole.o2_mol, whole.n2_mol)
        air_mol = max(0.0, amount_mol - whole.he_mol - oxygen_mol)
        parts = (
            ("helium", HELIUM, whole.he_mol),
            ("oxygen", OXYGEN, oxygen_mol),
            ("air", AIR, air_mol),
        )
        return [(n, free_litres(g, mol)) for n, g, mol in parts if mol > _SAME * amount_mol]

    def _line(self, name: str, free_l: float) -> Line:
        price = self._price(name)
        litres = _litres(free_l)
        fills = 1 if price.per_fill else 0
        cost = (litres * price.per_free_l + fills * price.per_fill).quantize(CENT, ROUND_HALF_UP)
        return Line(name, litres, fills, cost)

    def _price(self, name: str) -> GasPrice:
        if name in self.gases:
            return self.gases[name]
        if name == "air":
            return GasPrice("air")
        raise InputError(
            f"the price list of {self.on} has no price of {name}",
            where="prices",
            right=f"a price of {name}, 0 if it costs nothing",
        )


def sum_of(bills: Sequence[Bill]) -> Bill:
    """Return several bills as one.

    Parameters
    ----------
    bills
        Bills of one currency; at least one.

    Returns
    -------
    Bill
        Lines of the same gas added; no cent is rounded anew.
    """
    lines: dict[str, Line] = {}
    for line in (line for bill in bills for line in bill.lines):
        old = lines.get(line.gas, Line(line.gas, Decimal(0), 0, NOTHING))
        lines[line.gas] = Line(
            line.gas, old.free_l + line.free_l, old.fills + line.fills, old.cost + line.cost
        )
    return Bill(bills[0].currency, tuple(lines[name] for name in sorted(lines)))


def decimal_of(number: float) -> Decimal:
    """Return a number as it was written, not as binary fractions have it: 0.045 is 0.045.

    Parameters
    ----------
    number
        As read from a file [any unit].
    """
    return Decimal(repr(number))


def _litres(free_l: float) -> Decimal:
    return Decimal(repr(free_l)).quantize(_TENTH, ROUND_HALF_UP)
