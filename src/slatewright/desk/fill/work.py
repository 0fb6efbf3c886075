"""A fill file done, kept by what it came from: a reload, a tick, an opened number cost nothing."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Generic, TypeVar

from slatewright.desk.fill.keeping import FillText
from slatewright.desk.problem import Fault, problem_of
from slatewright.errors import InputError, SlatewrightError
from slatewright.fill.checked import Checked, check_analyses
from slatewright.fill.fillfile import FillFile, read_fill_text
from slatewright.fill.pricefile import read_price_text
from slatewright.fill.prices import Prices
from slatewright.fill.session import Session, do_fills, with_orders
from slatewright.toml.lines import KeyPath, TomlLines

T = TypeVar("T")
_KEPT: Final = 24
_PLACES: Final[dict[str, KeyPath]] = {"choice": ("room", "choose"), "prices": ("room", "prices")}


class Kept(Generic[T]):
    """The last things that were made, by their keys."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, T] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, key: str, make: Callable[[], T]) -> T:
        """Return what is kept under a key, or make it.

        Parameters
        ----------
        key
            The key.
        make
            How it is made.
        """
        found = self.get(key)
        if found is not None:
            return found
        made = make()
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return made

    def get(self, key: str) -> T | None:
        """Return what is kept under a key; None if nothing is.

        Parameters
        ----------
        key
            The key.
        """
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)


@dataclass(frozen=True, eq=False)
class Work:
    """A fill file, done.

    Parameters
    ----------
    key
        What it is kept under; the same texts have the same.
    text, prices
        The fill file and the price list that it came from.
    session
        The fills; None if the texts have faults.
    checked
        The analyses in it; None if there are none, or no fills.
    faults
        What is wrong with the fill file.
    price_faults
        What is wrong with the price list.
    """

    key: str
    text: str
    prices: str
    session: Session | None
    checked: Checked | None
    faults: tuple[Fault, ...] = ()
    price_faults: tuple[Fault, ...] = ()


_WORKS: Final[Kept[Work]] = Kept()
_ORDERS: Final[Kept[Session]] = Kept()


def work_of(written: FillText) -> Work:
    """Do a fill file; the order of a course is left to `order_of`.

    Parameters
    ----------
    written
        The file and its price list.
    """
    key = hashlib.sha256(f"{written.text}\0{written.prices}".encode()).hexdigest()[:20]
    return _WORKS.of(key, lambda: _done(key, written.text, written.prices))


def known_work(key: str) -> Work | None:
    """Return what is kept under a key; None if it is kept no more.

    Parameters
    ----------
    key
        The key.
    """
    return _WORKS.get(key)


def order_of(work: Work) -> Session:
    """Work out the order that a fill file asks for; a course takes some seconds.

    Parameters
    ----------
    work
        The fills, without faults.

    Returns
    -------
    Session
        The fills with the order.

    Raises
    ------
    InputError
        If something in it cannot be used.
    NoSafeAnswer
        If the order cannot be had.
    """
    session = work.session
    if session is None:
        raise InputError("the fill file has faults", right="mend them first")
    return _ORDERS.of(work.key, lambda: with_orders(session))


def _done(key: str, text: str, price_text: str) -> Work:
    prices, price_faults = _prices(price_text)
    file, faults = _file(text)
    if file is None or price_faults:
        return Work(key, text, price_text, None, None, faults, price_faults)
    try:
        session = do_fills(file, prices)
        checked = check_analyses(session) if file.analysis else None
    except SlatewrightError as error:
        return Work(key, text, price_text, None, None, _placed(error, text))
    return Work(key, text, price_text, session, checked)


def _file(text: str) -> tuple[FillFile | None, tuple[Fault, ...]]:
    try:
        return read_fill_text(text), ()
    except InputError as error:
        return None, problem_of(error).faults


def _prices(text: str) -> tuple[Prices | None, tuple[Fault, ...]]:
    if not text.strip():
        return None, ()
    try:
        return read_price_text(text), ()
    except InputError as error:
        return None, problem_of(error).faults


def _placed(error: SlatewrightError, text: str) -> tuple[Fault, ...]:
    """Return faults that only the fills brought to light, at the line of their key."""
    faults = problem_of(error).faults
    lines = TomlLines(text)
    return tuple(
        Fault(fault.what, fault.where, lines.line(_PLACES[fault.where]), fault.right)
        if fault.where in _PLACES
        else fault
        for fault in faults
    )
