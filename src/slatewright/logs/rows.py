"""From a row and a mapping to a logged dive, or to all the reasons why not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time
from typing import Final, TypeVar

from slatewright.errors import InputError
from slatewright.logs import cell_gases, cell_numbers, cell_times, cell_words
from slatewright.logs.aside import Doubt, SetAside
from slatewright.logs.cell_dates import day
from slatewright.logs.fields import Field
from slatewright.logs.header_words import DEPTH_UNITS
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.logs.mapping import Mapping
from slatewright.logs.own_columns import unguarded
from slatewright.logs.plausible import impossible_gas, impossible_speed
from slatewright.logs.table import Row
from slatewright.physics.mixture import Mixture

_T = TypeVar("_T")
_Else = TypeVar("_Else")
_DAY_MIN: Final = 1440.0
_UTC: Final = frozenset({"Z", "UTC", "+00:00", "+0000"})


class RowReader:
    """Reads the rows of one logbook.

    Parameters
    ----------
    mapping
        How its columns are read; what it leaves open, its rows are kept aside for.
    name
        The name of the file.
    """

    def __init__(self, mapping: Mapping, name: str) -> None:
        self.utc = 0
        """Rows whose time is that of Greenwich, which may not be the clock at the place."""
        self._mapping = mapping
        self._name = name
        self._at = {says: mapping.positions(says) for says in Field}

    def read(self, row: Row) -> LoggedDive | SetAside:
        """Return the dive that a row tells of, or the row kept aside.

        Parameters
        ----------
        row
            The row.
        """
        return _OneRow(self, row).read()

    def cells(self, row: Row, says: Field) -> list[tuple[str, str]]:
        """Return the cells that say something, each with the name of its column.

        Parameters
        ----------
        row
            The row.
        says
            What they say.
        """
        ours = self._mapping.ours
        found = []
        for position in self._at[says]:
            cell = row.cells[position] if position < len(row.cells) else ""
            cell = unguarded(cell) if ours else cell.strip()
            found.append((self._mapping.columns[position].name or f"column {position + 1}", cell))
        return found

    @property
    def mapping(self) -> Mapping:
        """How the columns are read."""
        return self._mapping

    @property
    def name(self) -> str:
        """The name of the file."""
        return self._name


class _OneRow:
    """A row while it is read; gathers all that is wrong with it."""

    def __init__(self, reader: RowReader, row: Row) -> None:
        self._reader = reader
        self._mapping = reader.mapping
        self._row = row
        self._doubts: list[Doubt] = []

    def read(self) -> LoggedDive | SetAside:
        if extra := self._extra():
            return self._aside(extra)
        on_date, began_at = self._beginning()
        minutes = self._minutes(began_at)
        greatest = self._depth()
        mixes = self._mixes()
        circuit = self._word(Field.CIRCUIT, cell_words.circuit, Circuit.OPEN)
        role = self._word(Field.ROLE, cell_words.role, Role.DIVER)
        decompression = self._word(Field.DECOMPRESSION, cell_words.decompression, None)
        partners = self._names(Field.PARTNERS)
        equipment = self._names(Field.EQUIPMENT)
        if not self._mapping.ours:
            equipment = tuple(word.casefold() for word in equipment)
        if self._doubts or on_date is None or minutes is None or greatest is None:
            return self._aside()
        try:
            impossible_speed(minutes, greatest)
            impossible_gas(mixes, greatest, circuit)
            return LoggedDive(
                on_date=on_date,
                began_at=began_at,
                minutes=minutes,
                greatest=greatest,
                mixes=mixes,
                circuit=circuit,
                role=role,
                decompression=decompression,
                partners=partners,
                equipment=equipment,
                number=self._text(Field.NUMBER, " "),
                place=self._text(Field.PLACE, ", "),
                remark=self._text(Field.REMARK, "\n"),
                origin=Origin(self._reader.name, self._row.line),
            )
        except InputError as error:
            return self._aside(Doubt.of(error))

    def _aside(self, *more: Doubt) -> SetAside:
        return SetAside(self._row.line, self._row.text, (*self._doubts, *more))

    def _extra(self) -> Doubt | None:
        width = len(self._mapping.columns)
        if not any(cell.strip() for cell in self._row.cells[width:]):
            return None
        return Doubt(
            f"{len(self._row.cells)} cells under {width} columns",
            right="quotation marks around a cell with a comma in it",
        )

    def _try(self, where: str, read: Callable[[], _T], otherwise: _Else) -> _T | _Else:
        try:
            return read()
        except InputError as error:
            self._doubts.append(Doubt(error.what, where, error.right))
            return otherwise

    def _filled(self, says: Field) -> list[tuple[str, str]]:
        return [(name, cell) for name, cell in self._reader.cells(self._row, says) if cell]

    def _first(self, says: Field) -> tuple[str, str]:
        return next(iter(self._filled(says)), (str(says), ""))

    def _beginning(self) -> tuple[date | None, time | None]:
        where, text = self._first(Field.DATE)
        if not text:
            self._doubts.append(Doubt("the date is missing", where, "2031-05-09"))
            return None, None
        m = self._mapping
        on_date, rest = self._try(where, lambda: day(text, m.slash, m.dash, m.dot), (None, ""))
        began_where, began = self._first(Field.BEGAN)
        if began:
            return on_date, self._clock(began_where, began)
        return on_date, self._clock(where, rest) if rest else None

    def _clock(self, where: str, text: str) -> time | None:
        if self._mapping.ours:
            try:
                return time.fromisoformat(text)
            except ValueError:
                pass  # a person wrote into our file
        split = cell_numbers.tidy(text).split(" ")
        if len(split) > 1 and "-" in split[0]:  # a date before the time, as spreadsheets add it
            text = " ".join(split[1:])
        found, zone = self._try(where, lambda: cell_times.clock(text), (None, ""))
        if zone.upper() in _UTC:
            self._reader.utc += 1
        return found

    def _minutes(self, began_at: time | None) -> float | None:
        where, text = self._first(Field.MINUTES)
        m = self._mapping
        if text:
            return self._try(
                where,
                lambda: cell_times.minutes(text, m.bare_duration, m.clock_duration, m.decimal_mark),
                None,
            )
        end_where, end = self._first(Field.ENDED)
        if end and began_at is not None:
            ended_at = self._clock(end_where, end)
            if ended_at is not None:
                return _between(began_at, ended_at)
            return None
        self._doubts.append(Doubt("the duration is missing", where, "45 min, or start and end"))
        return None

    def _depth(self) -> LoggedDepth | None:
        filled = self._filled(Field.DEPTH)
        where, text = next(iter(filled), (str(Field.DEPTH), ""))
        if not text:
            self._doubts.append(Doubt("the greatest depth is missing", where, "30 m, or 100 ft"))
            return None
        if len(filled) > 1:
            self._doubts.append(
                Doubt("two depths", " and ".join(name for name, _ in filled), "the one logged")
            )
            return None
        unit_where, word = self._first(Field.UNIT)
        unit = self._unit_of(where)
        if word:
            named = DEPTH_UNITS.get(cell_numbers.tidy(word).casefold())
            if named is None:
                self._doubts.append(Doubt(f"'{word}' is no unit of depth", unit_where, "m or ft"))
            unit = named
        return self._try(
            where, lambda: cell_numbers.depth(text, self._mapping.decimal_mark, unit), None
        )

    def _unit_of(self, name: str) -> DepthUnit | None:
        for position in self._mapping.positions(Field.DEPTH):
            column = self._mapping.columns[position]
            if column.name == name or f"column {position + 1}" == name:
                return column.unit
        return None

    def _mixes(self) -> tuple[Mixture, ...]:
        found: list[Mixture] = []
        read = cell_gases.our_gases if self._mapping.ours else cell_gases.gases
        for where, text in self._filled(Field.GAS):
            found += self._try(where, lambda text=text: read(text), ())  # type: ignore[misc]
        helium = self._reader.cells(self._row, Field.HE)
        for count, (where, o2) in enumerate(self._reader.cells(self._row, Field.O2)):
            he = helium[count][1] if count < len(helium) else ""
            mix = self._try(
                where,
                lambda o2=o2, he=he: cell_gases.of_shares(  # type: ignore[misc]
                    o2, he, self._mapping.share, self._mapping.decimal_mark
                ),
                None,
            )
            found += [mix] if mix is not None else []
        return tuple(dict.fromkeys(found)) if not self._mapping.ours else tuple(found)

    def _word(self, says: Field, read: Callable[[str], _T], otherwise: _Else) -> _T | _Else:
        where, text = self._first(says)
        return self._try(where, lambda: read(text), otherwise) if text else otherwise

    def _names(self, says: Field) -> tuple[str, ...]:
        if self._mapping.ours:
            where, text = self._first(says)
            return self._try(where, lambda: cell_words.listed(text), ())
        commas = self._mapping.commas is not False
        return tuple(
            dict.fromkeys(
                name
                for _, text in self._filled(says)
                for name in cell_words.names(text, commas=commas)
            )
        )

    def _text(self, says: Field, between: str) -> str:
        return between.join(cell for _, cell in self._filled(says))


def _between(began_at: time, ended_at: time) -> float:
    """Return the minutes between two times of day; a dive over midnight goes on into the next."""
    some_day = date(2000, 1, 1)
    took = datetime.combine(some_day, ended_at) - datetime.combine(some_day, began_at)
    return took.total_seconds() / 60.0 % _DAY_MIN
