"""Published tables as data files: who printed and who read them, and a guard on each copy."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class PublishedTable:
    """A table as it was printed.

    Parameters
    ----------
    name
        The file's name without ending.
    source
        Citation, such as ``[NOAA1991] Table 16.5``.
    how
        'read', 'from memory', 'computed', or a sentence that tells which rows are which.
    errata
        Known misprints and disagreements.
    tolerance
        How exactly the print can be held against a computation, with the reason.
    units
        Column to unit.
    columns
        Column to values, all of one length.
    """

    name: str
    source: str
    how: str
    errata: str
    tolerance: str
    units: Mapping[str, str]
    columns: Mapping[str, tuple[float, ...]]

    def __getitem__(self, column: str) -> tuple[float, ...]:
        """Return one column."""
        return self.columns[column]

    @property
    def rows(self) -> tuple[dict[str, float], ...]:
        """Return the rows as dictionaries by column."""
        return tuple(
            dict(zip(self.columns, row, strict=True))
            for row in zip(*self.columns.values(), strict=True)
        )


@cache
def published_table(name: str) -> PublishedTable:
    """Read a table from ``data/tables/NAME.toml`` and check its guard.

    Parameters
    ----------
    name
        The file's name without ending.

    Returns
    -------
    PublishedTable
        With the columns as tuples.

    Raises
    ------
    ValueError
        If the number of rows or a column's sum is not what the guard says.
    """
    raw = tomllib.loads(
        files("slatewright.data").joinpath("tables", f"{name}.toml").read_text("utf-8")
    )
    names: list[str] = raw["columns"]
    columns = {
        column: tuple(float(row[i]) for row in raw["rows"]) for i, column in enumerate(names)
    }
    guard = raw["guard"]
    if len(raw["rows"]) != guard["rows"]:
        raise ValueError(f"table {name}: {len(raw['rows'])} rows, its guard says {guard['rows']}")
    for column, expected in guard["sums"].items():
        total = math.fsum(columns[column])
        if not math.isclose(total, expected, rel_tol=1e-9, abs_tol=1e-9):
            raise ValueError(f"table {name}: {column} sums to {total}, its guard says {expected}")
    return PublishedTable(
        name=name,
        source=raw["source"],
        how=raw["how"],
        errata=raw.get("errata", ""),
        tolerance=raw.get("tolerance", ""),
        units=dict(zip(names, raw["units"], strict=True)),
        columns=columns,
    )
