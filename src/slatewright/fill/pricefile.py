"""Price lists: TOML, with every fault and its line.

Money is read as it is written: 0.045 is forty-five thousandths and no binary fraction near it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import StringConstraints, ValidationError, model_validator

from slatewright.errors import InputError
from slatewright.fill._gas_words import GasWord, gas_of
from slatewright.fill.prices import NOTHING, GasPrice, Offer, Prices, decimal_of, gas_name
from slatewright.physics.units import LITRES_PER_CUBIC_FOOT, bar_from_psi, l_from_cubic_feet
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Table

SCHEMA: Final = "slatewright/prices/1"
"""The first line of a price list says which kind of file it is."""
_MANY: Final = 1_000_000


class GasPriceTable(Table):
    """``[[gas]]``: what a gas costs."""

    gas: Annotated[GasWord, key("the gas: helium, oxygen, air, or a mixture", '"helium"')]
    per_free_l: Annotated[float | None, key("price of a free litre", "0.045", ge=0, le=_MANY)] = (
        None
    )
    per_cu_ft: Annotated[
        float | None, key("price of a cubic foot of free gas", "1.25", ge=0, le=_MANY)
    ] = None
    per_fill: Annotated[
        float, key("fee for each fill that has this gas in it", "4", ge=0, le=_MANY)
    ] = 0.0
    minimum_free_l: Annotated[
        float | None, key("least that is delivered", "9000", unit="L", ge=0, le=_MANY)
    ] = None
    minimum_cu_ft: Annotated[float | None, key("the same", "300", unit="cu ft", ge=0, le=_MANY)] = (
        None
    )

    def price(self) -> GasPrice:
        """Return the price of the gas."""
        per_l = NOTHING
        if self.per_free_l is not None:
            per_l = decimal_of(self.per_free_l)
        elif self.per_cu_ft is not None:
            per_l = decimal_of(self.per_cu_ft) / decimal_of(LITRES_PER_CUBIC_FOOT)
        least_l = self.minimum_free_l or l_from_cubic_feet(self.minimum_cu_ft or 0.0)
        return GasPrice(gas_name(gas_of(self.gas)), per_l, decimal_of(self.per_fill), least_l)


class OfferTable(Table):
    """``[[supply]]``: a full supply cylinder that can be ordered."""

    name: Annotated[
        str, StringConstraints(min_length=1, max_length=60), key("what it is called", '"large"')
    ]
    gas: Annotated[Literal["helium", "oxygen"], key("what is in it", '"helium"')]
    water_volume_l: Annotated[float, key("water volume", "50", unit="L", ge=1, le=1000)]
    gauge_bar: Annotated[
        float | None, key("pressure when full, at 20 degC", "200", unit="bar", ge=1, le=380)
    ] = None
    gauge_psi: Annotated[float | None, key("the same", "2900", unit="psi", ge=15, le=5511)] = None
    price: Annotated[
        float | None,
        key("price of the filling; left out: by the free litre", "420", ge=0, le=_MANY),
    ] = None
    hire: Annotated[float, key("hire of the cylinder", "25", ge=0, le=_MANY)] = 0.0

    def offer(self) -> Offer:
        """Return the supply cylinder."""
        gauge_bar = self.gauge_bar
        if gauge_bar is None:
            gauge_bar = bar_from_psi(self.gauge_psi or 0.0)
        price: Decimal | None = None if self.price is None else decimal_of(self.price)
        return Offer(
            self.name, self.gas, self.water_volume_l, gauge_bar, price, decimal_of(self.hire)
        )


class PriceFile(Table):
    """A price list, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/prices/1"],
        key("what the file is", f'"{SCHEMA}"', alias="schema"),
    ]
    currency: Annotated[
        str, StringConstraints(pattern="^[A-Z]{3}$"), key("three capital letters", '"EUR"')
    ]
    date: Annotated[date, key("day of the list", "2031-05-01")]
    gas: Annotated[
        tuple[GasPriceTable, ...],
        key("gases", '[[gas]] with gas = "helium" and per_free_l = 0.045', strict=False),
    ]
    supply: Annotated[
        tuple[OfferTable, ...],
        key("supply cylinders", "[[supply]] with name, gas, size and pressure", strict=False),
    ] = ()

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("PriceFile", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        seen: set[str] = set()
        for i, table in enumerate(self.gas):
            if table.per_free_l is not None and table.per_cu_ft is not None:
                yield Fault(("gas", i, "per_cu_ft"), "is a second price of one gas", "one of both")
            if table.minimum_free_l is not None and table.minimum_cu_ft is not None:
                yield Fault(("gas", i, "minimum_cu_ft"), "is a second minimum", "one of both")
            name = gas_name(gas_of(table.gas))
            if name in seen:
                yield Fault(("gas", i, "gas"), f"{name} has a price already", "each gas once")
            seen.add(name)
        names = [table.name for table in self.supply]
        for i, offered in enumerate(self.supply):
            if (offered.gauge_bar is None) == (offered.gauge_psi is None):
                yield Fault(
                    ("supply", i), "has no pressure, or two", "one of gauge_bar and gauge_psi"
                )
            if offered.name in names[:i]:
                yield Fault(("supply", i, "name"), f"'{offered.name}' is taken", "each name once")

    def prices(self) -> Prices:
        """Return what the list says."""
        gases = (table.price() for table in self.gas)
        return Prices(
            self.currency,
            self.date,
            {price.gas: price for price in gases},
            tuple(table.offer() for table in self.supply),
        )


def read_prices(path: Path) -> Prices:
    """Read a price list.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Prices
        What it says.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    text, raw = read_toml(path)
    return _prices(text, raw, path)


def read_price_text(text: str) -> Prices:
    """Read the text of a price list.

    Parameters
    ----------
    text
        The text.

    Returns
    -------
    Prices
        What it says.

    Raises
    ------
    PlanFileError
        If it is not TOML, or with every fault and its line.
    """
    return _prices(text, toml_of(text, None), None)


def _prices(text: str, raw: Mapping[str, Any], path: Path | None) -> Prices:
    try:
        return PriceFile.model_validate(raw).prices()
    except ValidationError as error:
        raise file_error(dict.fromkeys(faults_in(error, PriceFile, raw)), text, path) from None
    except InputError as error:
        raise file_error([Fault(("gas",), error.what, error.right)], text, path) from None
