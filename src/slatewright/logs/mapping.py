"""Which column of a logbook says what, and in which form: what a person confirms, and what is kept.

It is kept by the key of its header, so that the next file with the same header is read alike.
"""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Mapping as AnyMapping
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any, Final, Self, TypeVar

from slatewright.errors import InputError
from slatewright.logs.fields import MANY, BareDuration, ClockDuration, DateOrder, Field, Share
from slatewright.logs.logged import DepthUnit

SCHEMA: Final = "slatewright/logbook-columns/1"
DATE_MARKS: Final = {"slash": "/", "dash": "-", "dot": "."}
_Word = TypeVar("_Word", bound=StrEnum)


def header_key(header: Sequence[str]) -> str:
    """Return the key of a header: a hash of its names, capitals and spaces aside.

    Parameters
    ----------
    header
        The names of the columns.
    """
    names = [" ".join(unicodedata.normalize("NFKC", n).casefold().split()) for n in header]
    return hashlib.sha256("\x1f".join(names).encode("utf-8", "replace")).hexdigest()


@dataclass(frozen=True, slots=True)
class Column:
    """A column.

    Parameters
    ----------
    name
        Its name in the header.
    says
        What it says; None for a column that is not read.
    unit
        The unit of a depth, where the cell does not name one; None if nobody has said.
    """

    name: str
    says: Field | None = None
    unit: DepthUnit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapping:
    """How the columns of a logbook are read.

    Parameters
    ----------
    columns
        The columns, in the order of the file.
    separator
        What separates them.
    headed
        Whether the file has a header.
    slash, dash, dot
        The order of dates in numbers, by the mark between these; None if not decided.
    bare_duration
        What a duration counts that is a number alone; None if not decided.
    clock_duration
        How a duration such as 1:05 is read; None if not decided.
    decimal_mark
        Comma or point; empty if both occur or neither: each number then speaks for itself.
    share
        How shares of gases are counted; None: each row speaks for itself.
    commas
        Whether commas separate partners and equipment; else semicolons and line breaks alone; None
        if not decided.
    ours
        Whether the file is one of our own, whose texts are taken to the letter.
    """

    columns: tuple[Column, ...]
    separator: str = ","
    headed: bool = True
    slash: DateOrder | None = None
    dash: DateOrder | None = None
    dot: DateOrder | None = None
    bare_duration: BareDuration | None = None
    clock_duration: ClockDuration | None = None
    decimal_mark: str = ""
    share: Share | None = None
    commas: bool | None = None
    ours: bool = False
    key: str = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "key", header_key(self.header))

    @property
    def header(self) -> tuple[str, ...]:
        """The names of the columns."""
        return tuple(column.name for column in self.columns)

    def positions(self, says: Field) -> tuple[int, ...]:
        """Return the columns that say something, counted from 0.

        Parameters
        ----------
        says
            What they say.
        """
        return tuple(i for i, column in enumerate(self.columns) if column.says is says)

    def reading(self, position: int, says: Field | None, unit: DepthUnit | None = None) -> Self:
        """Return the mapping with one column read in another way.

        Parameters
        ----------
        position
            The column, counted from 0.
        says
            What it says; None leaves it out.
        unit
            The unit of a depth; None if its cells name it.

        Raises
        ------
        InputError
            If there is no such column.
        """
        if not 0 <= position < len(self.columns):
            raise InputError(
                f"there is no column {position + 1}", right=f"1 to {len(self.columns)}"
            )
        columns = list(self.columns)
        if says is not None and says not in MANY:
            columns = [replace(c, says=None) if c.says is says else c for c in columns]
        columns[position] = replace(columns[position], says=says, unit=unit)
        return replace(self, columns=tuple(columns))

    def ordered(self, which: str, order: DateOrder) -> Self:
        """Return the mapping with the order of dates known for one mark.

        Parameters
        ----------
        which
            ``slash``, ``dash`` or ``dot``.
        order
            The order.
        """
        if which == "slash":
            return replace(self, slash=order)
        return replace(self, dash=order) if which == "dash" else replace(self, dot=order)

    def answered(self, about: str, value: str) -> Self:
        """Return the mapping with a question answered.

        Parameters
        ----------
        about, value
            As in the `Question` and its `Choice`.

        Raises
        ------
        InputError
            If nothing asks this, or the answer is none.
        """
        kind, _, which = about.partition(":")
        if kind == "column":
            return self._column_answered(_word(Field, which, about), value)
        if kind == "only":
            says, position = _word(Field, which, about), _position(value, self.columns)
            columns = tuple(
                replace(c, says=None) if c.says is says and i != position else c
                for i, c in enumerate(self.columns)
            )
            return replace(self, columns=columns)
        if kind == "depth-unit":
            position = _position(which, self.columns)
            return self.reading(position, Field.DEPTH, _word(DepthUnit, value, about))
        if kind == "date" and which in DATE_MARKS:
            return self.ordered(which, _word(DateOrder, value, about))
        if kind == "duration" and which == "bare":
            return replace(self, bare_duration=_word(BareDuration, value, about))
        if kind == "duration" and which == "clock":
            return replace(self, clock_duration=_word(ClockDuration, value, about))
        raise InputError(f"nothing asks '{about}'", right="a question of the reading")

    def _column_answered(self, says: Field, value: str) -> Self:
        position = _position(value, self.columns)
        columns = tuple(replace(c, says=None) if c.says is says else c for c in self.columns)
        unit = self.columns[position].unit if says is Field.DEPTH else None
        return replace(self, columns=columns).reading(position, says, unit)

    def to_dict(self) -> dict[str, Any]:
        """Return the mapping as plain values that JSON can hold."""
        return {
            "schema": SCHEMA,
            "key": self.key,
            "columns": [
                {"name": c.name, "says": c.says and str(c.says), "unit": c.unit and str(c.unit)}
                for c in self.columns
            ],
            "separator": self.separator,
            "headed": self.headed,
            **{mark: value and str(value) for mark, value in self._settings().items()},
            "decimal_mark": self.decimal_mark,
            "commas": self.commas,
            "ours": self.ours,
        }

    def _settings(self) -> dict[str, StrEnum | None]:
        return {name: getattr(self, name) for name in _SETTINGS}

    @classmethod
    def from_dict(cls, values: AnyMapping[str, Any]) -> Self:
        """Return the mapping that plain values hold.

        Parameters
        ----------
        values
            What `to_dict` returned.

        Raises
        ------
        InputError
            If they are not that.
        """
        if values.get("schema") != SCHEMA:
            raise InputError("this holds no columns of a logbook", right=f"schema '{SCHEMA}'")
        columns = values.get("columns")
        separator, mark = values.get("separator"), values.get("decimal_mark")
        if not isinstance(columns, list) or not all(isinstance(c, dict) for c in columns):
            raise InputError("no list of columns", where="columns", right="name, says, unit")
        if not isinstance(separator, str) or len(separator) != 1:
            raise InputError("no separator", where="separator", right="one sign")
        if mark not in {"", ".", ","}:
            raise InputError("no decimal mark", where="decimal_mark", right="a comma or a point")
        read = cls(
            columns=tuple(
                Column(
                    str(c.get("name", "")),
                    _maybe(Field, c.get("says"), "says"),
                    _maybe(DepthUnit, c.get("unit"), "unit"),
                )
                for c in columns
            ),
            separator=separator,
            headed=values.get("headed") is not False,
            decimal_mark=mark,
            commas=values.get("commas") if isinstance(values.get("commas"), bool) else None,
            ours=values.get("ours") is True,
            **{name: _maybe(kind, values.get(name), name) for name, kind in _SETTINGS.items()},
        )
        if values.get("key", read.key) != read.key:
            raise InputError("the key belongs to another header", where="key", right=read.key)
        return read


_SETTINGS: Final[dict[str, Any]] = {
    "slash": DateOrder,
    "dash": DateOrder,
    "dot": DateOrder,
    "bare_duration": BareDuration,
    "clock_duration": ClockDuration,
    "share": Share,
}


def _maybe(kind: type[_Word], value: object, where: str) -> _Word | None:
    return None if value is None else _word(kind, str(value), where)


def _word(kind: type[_Word], value: str, where: str) -> _Word:
    try:
        return kind(value)
    except ValueError:
        raise InputError(
            f"'{value}' is no answer", where=where, right=", ".join(str(w) for w in kind)
        ) from None


def _position(value: str, columns: Sequence[Column]) -> int:
    if not value.isascii() or not value.isdigit() or int(value) >= len(columns):
        raise InputError(f"'{value}' is no column", right=f"0 to {len(columns) - 1}")
    return int(value)
