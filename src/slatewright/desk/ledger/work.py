"""The ledger's texts priced; what did not change is not priced again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final, Generic, TypeVar

from slatewright.desk.ledger.finding import Found, find
from slatewright.desk.ledger.keeping import KeptText, Part, ledger_text
from slatewright.dive.house_rules import HouseRules
from slatewright.ledger.quote import Quote, quote, what_if
from slatewright.ledger.quotefile import QuoteFile, parse_quote
from slatewright.ledger.ratesfile import RatesFile, parse_rates
from slatewright.ledger.sensitivity import otherwise
from slatewright.ledger.verdict import Comparison, compare
from slatewright.ledger.ways import Ways
from slatewright.ledger.waysfile import WaysFile, parse_ways, ways_of
from slatewright.store.session import Session

T = TypeVar("T")
FUTURES: Final = 2_000
"""As many as are simulated while a finger is on a slider."""
_KEPT: Final = 16


class _Kept(Generic[T]):
    """The last things that were made, by what they came from."""

    def __init__(self) -> None:
        self._kept: OrderedDict[object, T] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: object) -> T | None:
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    def put(self, key: object, made: T) -> T:
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return made


_WAYS: Final[_Kept[Ways]] = _Kept()
_QUOTES: Final[_Kept[Quote]] = _Kept()
_IFS: Final[_Kept[dict[tuple[int, Decimal], Quote]]] = _Kept()


@dataclass(frozen=True, slots=True)
class Turned:
    """Where the sliders stand: each a factor on what the texts say.

    Parameters
    ----------
    helium, cadence, unit, keeping
        The price of helium, the number of dives, the price of the unit, what it costs to keep.
    years
        How far to look; 0 for as far as the text says.
    """

    helium: Decimal = Decimal(1)
    cadence: Decimal = Decimal(1)
    unit: Decimal = Decimal(1)
    keeping: Decimal = Decimal(1)
    years: int = 0

    def of(self, ways: Ways) -> Ways:
        """Return a comparison with the sliders as they stand.

        Parameters
        ----------
        ways
            The comparison as the texts say it.
        """
        turned = otherwise(
            ways, helium=self.helium, cadence=self.cadence, unit=self.unit, keeping=self.keeping
        )
        years = self.years or ways.years
        change = turned.change_after_months
        if change is not None and change > 12 * years:
            change = 12 * years
        return replace(turned, years=years, change_after_months=change)


def texts_of(session: Session, *parts: Part) -> tuple[KeptText, ...]:
    """Return texts of the ledger.

    Parameters
    ----------
    session
        A session.
    parts
        Which.
    """
    return tuple(ledger_text(session, part) for part in parts)


def priced_ways(session: Session, rates: str, ways: str, rules: HouseRules) -> Ways:
    """Return the comparison that two texts ask for.

    Parameters
    ----------
    session
        A session.
    rates, ways
        The texts.
    rules
        The house rules.

    Raises
    ------
    PlanFileError
        If a text has faults.
    InputError
        If something is not there, or cannot be priced.
    NoSafeAnswer
        If a plan has no safe answer, or a fill cannot be done.
    """
    said, file = parse_rates(rates), parse_ways(ways)
    found = find(session, _plans_of_ways(file), said.fill_room)
    key = (rates, ways, rules, found.key)
    kept = _WAYS.get(key)
    if kept is not None:
        return kept
    made = ways_of(file, said.here(), found.fill_room(), lambda name: found.gas_of(name, rules))
    return _WAYS.put(key, made)


def compared(ways: Ways, turned: Turned, futures: int = FUTURES) -> Comparison:
    """Return a comparison, done, with the sliders as they stand.

    Parameters
    ----------
    ways
        The comparison.
    turned
        The sliders.
    futures
        How many futures to simulate.
    """
    return compare(turned.of(ways), futures)


def priced_quote(session: Session, rates: str, text: str, rules: HouseRules) -> Quote:
    """Return the quote that two texts ask for.

    Parameters
    ----------
    session
        A session.
    rates, text
        The texts.
    rules
        The house rules.

    Raises
    ------
    PlanFileError
        If a text has faults.
    InputError
        If something is not there, or cannot be priced.
    NoSafeAnswer
        If a plan has no safe answer, or a fill cannot be done.
    """
    said, file, found, key = _asked(session, rates, text, rules)
    kept = _QUOTES.get(key)
    if kept is not None:
        return kept
    asked = file.asked(lambda name: found.gas_of(name, rules))
    return _QUOTES.put(key, quote(asked, said.here(), found.fill_room()))


def quotes_if(
    session: Session, rates: str, text: str, rules: HouseRules, factors: tuple[Decimal, ...]
) -> dict[tuple[int, Decimal], Quote]:
    """Return the same quote for one student to four, and other prices of helium.

    Parameters
    ----------
    session
        A session.
    rates, text
        The texts.
    rules
        The house rules.
    factors
        What today's price of helium is multiplied by.

    Raises
    ------
    InputError, NoSafeAnswer
        As for `priced_quote`.
    """
    said, file, found, key = _asked(session, rates, text, rules)
    kept = _IFS.get((key, factors))
    if kept is not None:
        return kept
    asked = file.asked(lambda name: found.gas_of(name, rules))
    most = max(4, file.students)
    made = what_if(
        asked,
        said.here(),
        found.fill_room(),
        students=range(1, most + 1),
        helium_factors=factors,
    )
    return _IFS.put((key, factors), made)


def _asked(
    session: Session, rates: str, text: str, rules: HouseRules
) -> tuple[RatesFile, QuoteFile, Found, object]:
    said, file = parse_rates(rates), parse_quote(text)
    found = find(session, tuple(table.plan for table in file.dive), said.fill_room)
    return said, file, found, (rates, text, rules, found.key)


def _plans_of_ways(file: WaysFile) -> tuple[str, ...]:
    names = [name for table in file.dive for name in (table.open, table.closed)]
    return tuple(name for name in names if name is not None)
