"""Logbooks as CSV, written: columns of our own, read back without loss."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.cell_gases import our_word
from slatewright.logs.logged import DepthUnit, LoggedDive
from slatewright.logs.own_columns import OURS, guarded

_YES_NO: Final = {True: "yes", False: "no", None: ""}


def write_csv(dives: Iterable[LoggedDive]) -> str:
    """Return a logbook as CSV, to be saved as UTF-8.

    Parameters
    ----------
    dives
        The dives. What a spreadsheet would take for a formula is headed by an apostrophe.

    Returns
    -------
    str
        A header and a row for each dive; where an entry came from is left out.

    Raises
    ------
    InputError
        If a text holds a NUL, which CSV cannot carry.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(OURS.header)
    for count, dive in enumerate(dives, start=1):
        cells = _cells(dive)
        if any("\0" in cell for cell in cells):
            raise InputError(
                "a text holds a NUL", where=f"dive {count} of {dive.on_date}", right="letters"
            )
        writer.writerow([guarded(cell) for cell in cells])
    return out.getvalue()


def _cells(dive: LoggedDive) -> tuple[str, ...]:
    depth = plain_number(dive.greatest.value)
    metric = dive.greatest.unit is DepthUnit.METRES
    return (
        dive.number,
        dive.on_date.isoformat(),
        dive.began_at.isoformat() if dive.began_at is not None else "",
        plain_number(dive.minutes),
        depth if metric else "",
        "" if metric else depth,
        _listed(our_word(mix) for mix in dive.mixes),
        str(dive.circuit),
        str(dive.role),
        _YES_NO[dive.decompression],
        _listed(dive.partners),
        _listed(dive.equipment),
        dive.place,
        dive.remark,
    )


def plain_number(value: float) -> str:
    """Return a number to its last digit, without a power of ten.

    Parameters
    ----------
    value
        The number [unit of the cell].
    """
    text = format(Decimal(repr(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _listed(words: Iterable[str]) -> str:
    """Return words separated by semicolons, in quotation marks where they need them."""
    return "; ".join(_quoted(word) for word in words)


def _quoted(word: str) -> str:
    plain = word and not set(word) & set(';"\r\n') and word == word.strip()
    return word if plain else '"' + word.replace('"', '""') + '"'
