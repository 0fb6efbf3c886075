"""What the cells of a column decide together: the order of its dates, the form of its durations.

What they leave open is asked. A setting that a person gave stands, even where cells contradict it:
these are then kept aside one by one, and a note says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import Final, TypeVar

from slatewright.logs.aside import Choice, Question
from slatewright.logs.cell_dates import Numbers, numbers_of, orders_possible
from slatewright.logs.cell_numbers import decimal_mark_of, depth_has_unit
from slatewright.logs.cell_times import clock_pair, is_bare
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field
from slatewright.logs.mapping import DATE_MARKS, Mapping
from slatewright.logs.table import Table

LEAST_MIN: Final = 10.0
"""A logged dive usually lasts longer than this; common practice, no published source."""
MOST_MIN: Final = 300.0
"""And shorter than this."""
_CLEAR: Final = 0.8
_FEW: Final = 0.2
_Form = TypeVar("_Form", BareDuration, ClockDuration)


@dataclass(frozen=True, slots=True)
class Settled:
    """A mapping after its columns were looked at.

    Parameters
    ----------
    mapping
        The mapping, with all that the cells decide.
    questions
        What they leave open.
    notes
        Where cells contradict what the mapping says.
    """

    mapping: Mapping
    questions: tuple[Question, ...]
    notes: tuple[str, ...]


def settled(mapping: Mapping, table: Table) -> Settled:
    """Return a mapping with everything decided that the cells decide.

    Parameters
    ----------
    mapping
        The mapping: a proposal, or one that was confirmed.
    table
        The table.
    """
    questions: list[Question] = []
    notes: list[str] = []
    mapping = _commas(_decimal_mark(mapping, table), table)
    mapping = _dates(mapping, table, questions, notes)
    mapping = _durations(mapping, table, questions)
    _depth_units(mapping, table, questions)
    _required(mapping, questions)
    _one_of_each(mapping, table, questions)
    return Settled(mapping, tuple(questions), tuple(notes))


def _decimal_mark(mapping: Mapping, table: Table) -> Mapping:
    if mapping.decimal_mark:
        return mapping
    marks = {
        mark
        for says in (Field.DEPTH, Field.MINUTES, Field.O2, Field.HE)
        for position in mapping.positions(says)
        for cell in table.column(position)
        if (mark := decimal_mark_of(cell))
    }
    return replace(mapping, decimal_mark=marks.pop()) if len(marks) == 1 else mapping


def _commas(mapping: Mapping, table: Table) -> Mapping:
    """Commas separate names where semicolons do not."""
    if mapping.commas is not None or mapping.ours:
        return mapping
    semicolons = any(
        ";" in cell
        for says in (Field.PARTNERS, Field.EQUIPMENT)
        for position in mapping.positions(says)
        for cell in table.column(position)
    )
    return replace(mapping, commas=not semicolons)


def _dates(mapping: Mapping, table: Table, questions: list[Question], notes: list[str]) -> Mapping:
    cells = [
        found
        for position in mapping.positions(Field.DATE)
        for cell in table.column(position)
        if (found := numbers_of(cell))
    ]
    for name, mark in DATE_MARKS.items():
        with_mark = [cell for cell in cells if cell.mark == mark]
        if not with_mark:
            continue
        possible = orders_possible(with_mark)
        said: DateOrder | None = getattr(mapping, name)
        if said is not None:
            others = sum(1 for cell in with_mark if cell.read(said) is None)
            if others:
                notes.append(
                    f"{others} of {len(with_mark)} dates with '{mark}' are no days, read as {said}:"
                    " is the order right?"
                )
            continue
        order = _order(with_mark, possible)
        if order is None:
            questions.append(_order_question(name, mark, with_mark, possible))
        else:
            mapping = mapping.ordered(name, order)
    return mapping


def _order(cells: Sequence[Numbers], possible: tuple[DateOrder, ...]) -> DateOrder | None:
    """Return the order that the dates of a column have; None if more than one fits, or none."""
    if len(possible) == 1:
        return possible[0]
    if not possible:
        return None
    if all(len({cell.read(order) for order in possible}) == 1 for cell in cells):
        return possible[0]  # such as 5/5/2031: the same day in any order
    by_points = cells[0].mark == "." and DateOrder.DMY in possible
    return DateOrder.DMY if by_points else None  # day first with points: common practice


def _order_question(
    name: str, mark: str, cells: Sequence[Numbers], possible: tuple[DateOrder, ...]
) -> Question:
    if possible:
        example = next(c for c in cells if len({c.read(order) for order in possible}) > 1)
        shown = mark.join(f"{part:02d}" for part in (example.first, example.second, example.third))
        what = (
            f"no date with '{mark}' in the column says which number is the month, such as {shown}"
        )
        what += _in_order(cells, possible)
    else:
        what = f"the dates with '{mark}' contradict each other: some fit one order, some another"
    orders = possible or (DateOrder.DMY, DateOrder.MDY)
    return Question(f"date:{name}", what, tuple(Choice(str(o), _words(o, mark)) for o in orders))


def _words(order: DateOrder, mark: str) -> str:
    letters = {"d": "day", "m": "month", "y": "year"}
    return mark.join(letters[letter] for letter in str(order) if letter in letters)


def _in_order(cells: Sequence[Numbers], possible: tuple[DateOrder, ...]) -> str:
    """Return a hint if the dives stand in order of time in one reading alone."""
    sorted_in = []
    for order in possible:
        days = [day for cell in cells if (day := cell.read(order)) is not None]
        if len(set(days)) > 2 and (days == sorted(days) or days == sorted(days, reverse=True)):
            sorted_in.append(order)
    if len(sorted_in) != 1:
        return ""
    return f"; only as {_words(sorted_in[0], cells[0].mark)} do the dives stand in order of time"


def _durations(mapping: Mapping, table: Table, questions: list[Question]) -> Mapping:
    positions = mapping.positions(Field.MINUTES)
    cells = [cell for position in positions for cell in table.column(position)]
    bare = [float(cell.replace(",", ".")) for cell in cells if is_bare(cell)]
    pairs = [pair for cell in cells if (pair := clock_pair(cell))]
    if bare and mapping.bare_duration is None:
        found = _plausible(
            {
                BareDuration.MINUTES: bare,
                BareDuration.SECONDS: [value / 60.0 for value in bare],
                BareDuration.HOURS: [value * 60.0 for value in bare],
            }
        )
        if found is None:
            questions.append(
                Question(
                    "duration:bare",
                    f"what do durations such as {median(bare):g} count?",
                    (Choice("min", "minutes"), Choice("s", "seconds"), Choice("h", "hours")),
                )
            )
        else:
            mapping = replace(mapping, bare_duration=found)
    if pairs and mapping.clock_duration is None:
        both = {
            ClockDuration.HOURS_MINUTES: [a * 60.0 + b for a, b in pairs if b < 60],
            ClockDuration.MINUTES_SECONDS: [a + b / 60.0 for a, b in pairs if b < 60],
        }
        if any(a >= 24 for a, _ in pairs):  # nobody dives for a day
            both[ClockDuration.HOURS_MINUTES] = []
        clocked = _plausible(both)
        if clocked is None:
            first, second = pairs[0]
            questions.append(
                Question(
                    "duration:clock",
                    f"how are durations such as {first}:{second:02d} read?",
                    (Choice("h:mm", "hours and minutes"), Choice("mm:ss", "minutes and seconds")),
                )
            )
        else:
            mapping = replace(mapping, clock_duration=clocked)
    return mapping


def _plausible(by_form: dict[_Form, list[float]]) -> _Form | None:
    """Return the one form in which nearly all are dives and in the others hardly any are."""
    shares = {
        form: sum(1 for value in values if LEAST_MIN <= value <= MOST_MIN) / max(1, len(values))
        for form, values in by_form.items()
    }
    best = max(shares, key=lambda form: shares[form])
    rest = [share for form, share in shares.items() if form is not best]
    return best if shares[best] >= _CLEAR and max(rest) <= _FEW else None


def _depth_units(mapping: Mapping, table: Table, questions: list[Question]) -> None:
    if mapping.positions(Field.UNIT):
        return
    for position in mapping.positions(Field.DEPTH):
        column = mapping.columns[position]
        if column.unit is not None:
            continue
        bare = [cell for cell in table.column(position) if depth_has_unit(cell) is False]
        if bare:
            questions.append(
                Question(
                    f"depth-unit:{position}",
                    f"in which unit are {len(bare)} depths of '{column.name}' logged,"
                    f" such as {bare[0]}?",
                    (Choice("m", "metres"), Choice("ft", "feet")),
                )
            )


def _required(mapping: Mapping, questions: list[Question]) -> None:
    has_times = mapping.positions(Field.BEGAN) and mapping.positions(Field.ENDED)
    for says in (Field.DATE, Field.DEPTH, Field.MINUTES):
        if mapping.positions(says) or (says is Field.MINUTES and has_times):
            continue
        questions.append(
            Question(
                f"column:{says}",
                f"which column says the {says}?",
                tuple(
                    Choice(str(i), column.name or f"column {i + 1}")
                    for i, column in enumerate(mapping.columns)
                    if column.says is None
                ),
            )
        )


def _one_of_each(mapping: Mapping, table: Table, questions: list[Question]) -> None:
    depths = mapping.positions(Field.DEPTH)
    if len(depths) > 1 and any(
        sum(1 for position in depths if position < len(row.cells) and row.cells[position].strip())
        > 1
        for row in table.rows
    ):
        questions.append(
            Question(
                f"only:{Field.DEPTH}",
                "several columns say the greatest depth: in which one did the diver log it?",
                tuple(Choice(str(i), mapping.columns[i].name) for i in depths),
            )
        )
    o2, he = mapping.positions(Field.O2), mapping.positions(Field.HE)
    if he and not o2:
        free = [(i, c.name) for i, c in enumerate(mapping.columns) if c.says is None]
        questions.append(
            Question(
                f"column:{Field.O2}",
                "a column says helium and none oxygen: which one does?",
                tuple(Choice(str(i), name) for i, name in free),
            )
        )
    elif he and len(he) != len(o2):
        questions.append(
            Question(
                f"only:{Field.HE}" if len(he) > len(o2) else f"only:{Field.O2}",
                f"{len(o2)} columns say oxygen and {len(he)} helium: which belong together?",
                tuple(
                    Choice(str(i), mapping.columns[i].name)
                    for i in (he if len(he) > len(o2) else o2)
                ),
            )
        )
