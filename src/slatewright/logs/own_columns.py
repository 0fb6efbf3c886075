"""The columns of the logbooks that we write: plain words, with the unit in each name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from slatewright.logs.fields import BareDuration, Field, Share
from slatewright.logs.logged import DepthUnit
from slatewright.logs.mapping import Column, Mapping

COLUMNS: Final = (
    Column("number", Field.NUMBER),
    Column("date", Field.DATE),
    Column("began_at", Field.BEGAN),
    Column("duration_min", Field.MINUTES),
    Column("greatest_depth_m", Field.DEPTH, DepthUnit.METRES),
    Column("greatest_depth_ft", Field.DEPTH, DepthUnit.FEET),
    Column("gases", Field.GAS),
    Column("circuit", Field.CIRCUIT),
    Column("role", Field.ROLE),
    Column("decompression", Field.DECOMPRESSION),
    Column("partners", Field.PARTNERS),
    Column("equipment", Field.EQUIPMENT),
    Column("place", Field.PLACE),
    Column("remark", Field.REMARK),
)
"""A dive fills one of the two depths: the unit in which it was logged."""

OURS: Final = Mapping(
    columns=COLUMNS,
    bare_duration=BareDuration.MINUTES,
    decimal_mark=".",
    share=Share.PERCENT,
    ours=True,
)

GUARD: Final = "'"
_GUARDED: Final = ("=", "+", "-", "@", "\t", "\r", GUARD)


def is_ours(header: Sequence[str]) -> bool:
    """Return whether a header is ours.

    Parameters
    ----------
    header
        The names of the columns.
    """
    return tuple(header) == OURS.header


def guarded(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text
        The text.
    """
    return GUARD + text if text.startswith(_GUARDED) else text


def unguarded(text: str) -> str:
    """Return the text that was guarded.

    Parameters
    ----------
    text
        The cell.
    """
    return text.removeprefix(GUARD)
