"""Gases in a cell, as people write them, and shares of oxygen and helium in two cells."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.cell_numbers import number, tidy
from slatewright.logs.cell_words import listed
from slatewright.logs.fields import Share
from slatewright.physics.mixture import AIR, OXYGEN, Mixture

_AIR: Final = frozenset(
    {"air", "luft", "pressluft", "aire", "aria", "lucht", "ar", "ilma", "powietrze", "воздух"}
)
_OXYGEN: Final = frozenset(
    {"o2", "oxygen", "sauerstoff", "oxygène", "oxigeno", "oxígeno", "ossigeno", "zuurstof",
     "oxigênio", "syre", "pure oxygen", "кислород"}
)  # fmt: skip
_UNSAID: Final = re.compile(r"(?:nitrox|ean|eanx|trimix|tx|tmx|heliox|helitrox)", re.IGNORECASE)
_HELIUM: Final = re.compile(
    r"(?:trimix|tmx|tx|heliox|hx|helitrox)\s*[-:]?\s*|\s*(?:trimix|tx)$", re.IGNORECASE
)
_BEFORE: Final = re.compile(r"(?:nitrox|eanx?|nx|nx|o2)\s*[-:]?\s*(?=[0-9])", re.IGNORECASE)
_AFTER: Final = re.compile(r"\s*(?:%\s*)?(?:nitrox|ean|o2|oxygen)\s*$", re.IGNORECASE)
_SPLIT: Final = re.compile(r"\s*[;|+&\n\r]\s*|\s*,\s+|,(?=[^\W\d_])|(?<=[^\W\d_]),", re.UNICODE)
_TWO_DIGITS: Final = re.compile(r"[0-9],[0-9]{2,}")
_ALONE: Final = re.compile(r"([0-9]+(?:[.,][0-9]+)?)")
_RIGHT: Final = "air, O2, EAN32, 32%, 18/45"
_LEAST_ALONE: Final = 0.20
# Nobody fills oxygen and nitrogen with less oxygen than air: 18 alone has lost its helium, and 12
# is the size of a cylinder.


@lru_cache(maxsize=2048)
def gases(text: str) -> tuple[Mixture, ...]:
    """Return the gases in a cell, each once.

    Parameters
    ----------
    text
        The cell. A number alone is the oxygen in per cent, or its fraction if at most 1.

    Raises
    ------
    InputError
        If one is no gas, does not say its shares, or the cell can be read in two ways.
    """
    if _TWO_DIGITS.search(text):
        raise InputError(
            f"'{text}' can be one gas with a decimal comma or two gases", right="18/45; EAN50"
        )
    words = [tidy(word) for word in _SPLIT.split(text)]
    return tuple(dict.fromkeys(_gas(word) for word in words if word))


@lru_cache(maxsize=2048)
def our_gases(text: str) -> tuple[Mixture, ...]:
    """Return the gases in a cell that we wrote, to the last digit.

    Parameters
    ----------
    text
        The cell, such as ``18/45; EAN50``.

    Raises
    ------
    InputError
        If it is no such list.
    """
    found = []
    for word in listed(text):
        o2, _, he = word.removeprefix("EAN").partition("/")
        if word in {"O2", "air"}:
            found.append(OXYGEN if word == "O2" else AIR)
            continue
        try:
            found.append(Mixture(float(Decimal(o2) / 100), float(Decimal(he or "0") / 100)))
        except InvalidOperation:
            return gases(text)  # a person wrote into our file
    return tuple(found)


def our_word(mix: Mixture) -> str:
    """Return a gas as our own files have it: the trade's notation, to the last digit.

    Parameters
    ----------
    mix
        The gas.
    """
    if mix in {AIR, OXYGEN}:
        return str(mix)
    o2, he = (format((Decimal(repr(x)) * 100).normalize(), "f") for x in (mix.o2, mix.he))
    return f"{o2}/{he}" if mix.he else f"EAN{o2}"


def of_shares(o2: str, he: str, share: Share | None, decimal_mark: str) -> Mixture | None:
    """Return the gas whose shares stand in two cells; None if both are empty or nought.

    Parameters
    ----------
    o2, he
        The cells.
    share
        How they count; None: above 1 in per cent, else as a fraction, both alike.
    decimal_mark
        Comma or point; empty if not known [a sign].

    Raises
    ------
    InputError
        If they are no shares, or do not say how they count.
    """
    oxygen, o2_percent = _share(o2, decimal_mark)
    helium, he_percent = _share(he, decimal_mark)
    if not oxygen and not helium:
        return None
    if not oxygen:
        raise InputError("helium without oxygen is no breathing gas", right="both shares")
    percent = share is Share.PERCENT if share else oxygen > 1.0 or o2_percent
    if percent and not o2_percent and oxygen <= 1.0:
        raise InputError(
            f"'{o2}' per cent of oxygen is no breathing gas", right="21, or a column of fractions"
        )
    if not percent and oxygen > 1.0:
        raise InputError(f"'{o2}' is no fraction", right="0.21, or a column in per cent")
    helium_percent = he_percent or percent
    if helium_percent and not he_percent and 0.0 < helium < 1.0:
        raise InputError(f"'{he}' beside '{o2}': a fraction beside per cent", right="18 and 45")
    found = oxygen / 100.0 if percent else oxygen
    if not helium:
        return _without_helium(o2, found)
    return Mixture(found, helium / 100.0 if helium_percent else helium)


def _share(text: str, decimal_mark: str) -> tuple[float, bool]:
    word = tidy(text)
    sign = word.endswith("%")
    bare = word.rstrip("% ")
    return (number(bare, decimal_mark, 100.0) if bare and bare != "-" else 0.0), sign


def _gas(word: str) -> Mixture:
    plain = word.casefold()
    if plain in _AIR:
        return AIR
    if plain in _OXYGEN:
        return OXYGEN
    if _UNSAID.fullmatch(plain):
        raise InputError(f"'{word}' does not say its shares", right=_RIGHT)
    if "/" in word:
        return Mixture.parse(_HELIUM.sub("", word))
    alone = _AFTER.sub("", _BEFORE.sub("", word)).rstrip("% ")
    if not _ALONE.fullmatch(alone):
        return Mixture.parse(word)
    value = float(alone.replace(",", "."))
    if value > 1.0:
        return _without_helium(word, value / 100.0)
    if alone != word:
        raise InputError(f"'{word}' names one per cent of oxygen or less", right=_RIGHT)
    return _without_helium(word, value)


def _without_helium(word: str, o2: float) -> Mixture:
    if o2 < _LEAST_ALONE:
        raise InputError(
            f"'{word}' is less oxygen than air has, and no helium is named", right="18/45"
        )
    return Mixture(o2)
