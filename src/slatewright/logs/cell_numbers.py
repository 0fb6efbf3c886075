"""Numbers and depths in a cell: decimal commas, units in the cell, and nothing guessed."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.header_words import DEPTH_UNITS
from slatewright.logs.logged import DEEPEST_M, DepthUnit, LoggedDepth
from slatewright.physics.units import feet_from_m

_PLAIN: Final = re.compile(r"[0-9]+")
_ONE_MARK: Final = re.compile(r"([0-9]*)([.,])([0-9]+)")
_GROUPS: Final = re.compile(r"[0-9]{1,3}(?:(['\u2019 ])[0-9]{3})(?:\1[0-9]{3})*(?:[.,][0-9]+)?")
_POINT_LAST: Final = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+")
_COMMA_LAST: Final = re.compile(r"[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+")
_DEPTH: Final = re.compile(r"-?\s*([0-9][0-9.,'\u2019 ]*?)\s*([^\W\d_]+|')?\.?", re.UNICODE)
_LONGEST: Final = 60


def tidy(text: str) -> str:
    """Return a cell with the spaces and letters of print made plain.

    Parameters
    ----------
    text
        The cell.
    """
    return " ".join(unicodedata.normalize("NFKC", text).split())


def decimal_mark_of(text: str) -> str:
    """Return the decimal mark that a number shows beyond doubt; empty if it shows none.

    Parameters
    ----------
    text
        The cell.
    """
    for match in re.finditer(r"[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+", text):
        number = match[0]
        if _POINT_LAST.fullmatch(number):
            return "."
        if _COMMA_LAST.fullmatch(number):
            return ","
        one = _ONE_MARK.fullmatch(number)
        if one and not _could_group(one[1], one[3]):
            return one[2]
    return ""


def number(text: str, decimal_mark: str, most: float) -> float:
    """Return the number in a cell.

    Parameters
    ----------
    text
        The cell, without a unit.
    decimal_mark
        Comma or point; empty if not known [a sign].
    most
        What is too much for the number; it tells 12,345 from 12345 [unit of the cell].

    Raises
    ------
    InputError
        If it is no number, or can be read in two ways.
    """
    word = tidy(text)
    if len(word) > _LONGEST:
        raise _no_number(text)
    if _GROUPS.fullmatch(word):
        word = re.sub(r"['\u2019 ]", "", word)
    if _PLAIN.fullmatch(word):
        return float(word)
    if _POINT_LAST.fullmatch(word) and decimal_mark != ",":
        return float(word.replace(",", ""))
    if _COMMA_LAST.fullmatch(word) and decimal_mark != ".":
        return float(word.replace(".", "").replace(",", "."))
    one = _ONE_MARK.fullmatch(word)
    if one is None:
        raise _no_number(text)
    return _one_mark(text, one, decimal_mark, most)


def _one_mark(text: str, match: re.Match[str], decimal_mark: str, most: float) -> float:
    """Return a number with one comma or point, which may be a decimal mark or group digits."""
    whole, mark, rest = match.groups()
    decimal = float(f"{whole or '0'}.{rest}")
    if decimal_mark == mark:
        return decimal
    if not _could_group(whole, rest):
        if decimal_mark:
            raise InputError(
                f"'{text}' has another decimal mark than the other numbers",
                right=match[0].replace(mark, decimal_mark),
            )
        return decimal
    grouped = float(whole + rest)
    if decimal_mark:
        return grouped
    if grouped > most:
        return decimal
    raise InputError(
        f"'{text}' can be {decimal:g} or {grouped:g}", right=f"{grouped:g}, or {decimal:.5f}"
    )


@lru_cache(maxsize=4096)
def depth(text: str, decimal_mark: str, unit: DepthUnit | None) -> LoggedDepth:
    """Return the depth in a cell; a unit in the cell counts before that of its column.

    Parameters
    ----------
    text
        The cell, such as ``30``, ``30,5 m``, ``100 ft``; a minus for 'below' is left off.
    decimal_mark
        Comma or point; empty if not known [a sign].
    unit
        The unit of the column; None if nobody has said.

    Raises
    ------
    InputError
        If it is no depth, or nobody says in which unit.
    """
    match = _DEPTH.fullmatch(tidy(text))
    if match is None:
        raise InputError(f"'{text}' is no depth", right="30, 30.5 m, 100 ft")
    value, word = match.groups()
    if word is not None:
        named = DepthUnit.FEET if word == "'" else DEPTH_UNITS.get(word.casefold())
        if named is None:
            raise InputError(f"'{word}' is no unit of depth", right="m or ft")
        unit = named
    if unit is None:
        raise InputError(
            f"'{text}' does not say its unit", right=f"{value} m, {value} ft, or a unit for all"
        )
    most = DEEPEST_M if unit is DepthUnit.METRES else feet_from_m(DEEPEST_M)
    return LoggedDepth(number(value, decimal_mark, most), unit)


def depth_has_unit(text: str) -> bool | None:
    """Return whether a depth names its unit; None if the cell is no depth.

    Parameters
    ----------
    text
        The cell.
    """
    match = _DEPTH.fullmatch(tidy(text))
    if match is None:
        return None
    word = match[2]
    if word is None:
        return False
    return True if word == "'" or word.casefold() in DEPTH_UNITS else None


def _could_group(whole: str, rest: str) -> bool:
    """Return whether digits around a mark can be a grouped whole number, as in 1,234."""
    return len(rest) == 3 and 1 <= len(whole) <= 3 and whole[0] != "0"


def _no_number(text: str) -> InputError:
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
    return InputError(f"'{shown}' is no number", right="digits, with a decimal point or comma")
