"""The way home on the terminal: in short beside a dive, and minute by minute."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, entries, heading, wrapped
from slatewright.cli.words import depth_words
from slatewright.paper.reading import minutes_down, minutes_up
from slatewright.supply.judged import way_home_hazards
from slatewright.supply.wayhome import Verdict, cures_of, table_of
from slatewright.supply.wayhome.table import MARKS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import Console

    from slatewright.supply.judged import WithWayHome
    from slatewright.supply.wayhome import Cell, Grid, RowSummary, Table
    from slatewright.supply.wayhome.table import Span, TableRow

Lines = list[Text]

_NAME: Final = 28
_WHEN: Final = 6
_SCALE_MIN: Final = (5, 10, 20, 30, 60, 120, 240)
_LEAST_BETWEEN: Final = 6
"""Columns from one figure of the scale to the next, at least."""


def wayhome_notes(judged: WithWayHome, width: int) -> Lines:
    """Return the way home in short: how each failure ends at its worst minute.

    Parameters
    ----------
    judged
        The dive with its gas.
    width
        Columns.

    Returns
    -------
    list
        A failure that has no way home leads to its hazard, where the reason and the cures stand.
    """
    grid = judged.grid
    hazards = _hazard_numbers(judged)
    style = _style(grid)
    head = heading("Way home" if not style else "No way home")
    lines = wrapped(head.append(f"  {verdict_words(grid)}", style or "not bold"), width)
    lines.append(Text(f"  {'if this fails':<{_NAME}}{'worst':>{_WHEN}}  how it ends then", SOFT))
    for number, row in enumerate(grid.rows):
        name = Text(f"  {row.failure.name:<{_NAME}}{row.worst.minute:>{_WHEN}}  ")
        first, *rest = wrapped(_ending(row, hazards.get(number, 0)), width, indent=len(name))
        lines += [name.append_text(first[len(name) :]), *rest]
    return lines


def _hazard_numbers(judged: WithWayHome) -> dict[int, int]:
    """Return for each row without a way home the number of its hazard."""
    rows = judged.grid.rows
    failing = [number for number, row in enumerate(rows) if row.first_without_min is not None]
    known = judged.schedule.hazards
    found = way_home_hazards(judged.grid)
    return {number: known.index(hazard) + 1 for number, hazard in zip(failing, found, strict=False)}


def verdict_words(grid: Grid) -> str:
    """Return the verdict on a dive, in a few words.

    Parameters
    ----------
    grid
        The judged grid.
    """
    first = grid.first_failing
    if first is not None:
        failing = sum(row.first_without_min is not None for row in grid.rows)
        more = f", and {failing - 1} more" if failing > 1 else ""
        return f"{_without(first)}: {first.failure.name}{more}"
    compromised = sum(row.worst.verdict.is_compromise for row in grid.rows)
    said = f"from every minute, for all {len(grid.rows)} failures"
    return f"{said}, {compromised} of them with a compromise" if compromised else said


def _without(row: RowSummary) -> str:
    """Say in which minutes there is no way home."""
    if row.minutes_without == 1:
        return f"in min {row.first_without_min} alone"
    return f"from min {row.first_without_min}, for {row.minutes_without} min"


def _ending(row: RowSummary, hazard: int) -> Text:
    """Say how a failure ends at its worst minute, in a line."""
    cell = row.worst
    if cell.verdict is Verdict.NO_WAY:
        return Text(f"NO WAY HOME {_without(row)}: !{hazard}", CAUTION)
    if cell.verdict is Verdict.NOT_MEANT:
        return Text("does not apply", SOFT)
    return Text(", ".join(_said(cell)))


def _said(cell: Cell) -> Iterator[str]:
    if cell.over_bar > 0.0:
        yield f"{cell.over_bar:.2f} bar of O2 over limit"
    if cell.under_bar > 0.0:
        yield f"{cell.under_bar:.2f} bar of O2 under floor"
    if cell.verdict in {Verdict.HURRIED, Verdict.HURRIED_BEYOND_LIMITS}:
        factors = f"{cell.gradient_low * 100:.0f}/{cell.gradient_high * 100:.0f}"
        cut = "" if cell.omitted_min is None else f" by {minutes_up(cell.omitted_min)} min"
        yield f"stops cut{cut}, factors {factors}"
    scarce = cell.scarce
    if scarce is not None:
        yield f"{minutes_down(scarce.share * 100)} % of {scarce.mix} left ({scarce.diver})"
    else:
        yield "gets home"


def show_wayhome(console: Console, judged: WithWayHome) -> None:
    """Print the way home of a dive, minute by minute.

    Parameters
    ----------
    console
        Where to.
    judged
        The dive with its gas.
    """
    grid, width = judged.grid, console.width
    table, style = table_of(grid), _style(grid)
    plan = grid.plan
    names = ", ".join(diver.name for diver in grid.team.divers)
    left = plan.levels[-1]
    lines = [
        *wrapped(Text(f"{plan.title}: the way home", HEAD), width),
        *wrapped(
            Text(f"{'NO WAY HOME' if style else 'Way home'}: {verdict_words(grid)}", style), width
        ),
        *wrapped(
            Text(
                f"{names}; {depth_words(plan.deepest_m, plan.units)}, bottom left at "
                f"{left.leave_at_min:g} min, {grid.minutes[-1]} min looked at",
                SOFT,
            ),
            width,
        ),
        Text(),
        *_strips(table, grid, width),
        Text(),
    ]
    for number, row in enumerate(table.rows):
        lines += _row(row, grid, number, width)
    for line in lines:
        console.print(line, soft_wrap=True)


def _style(grid: Grid) -> str:
    return "" if grid.has_way_home else CAUTION


def _strips(table: Table, grid: Grid, width: int) -> Lines:
    """Draw a strip for each failure, a sign for so many minutes, the worst of them."""
    name = min(_NAME, max(len(row.name) for row in table.rows) + 2)
    room = width - name - 4
    minutes = len(table.minutes)
    a_sign = -(-minutes // room)
    leave = int(grid.plan.levels[-1].leave_at_min) - table.minutes[0]
    lines = [
        Text(" " * (name + 2)).append(_scale(table, a_sign), SOFT),
        Text(" " * (name + 2 + leave // a_sign)).append("v", HEAD).append(" bottom left", SOFT),
    ]
    for row in table.rows:
        signs = [row.marks[i : i + a_sign] for i in range(0, minutes, a_sign)]
        strip = "".join(max(some, key=_ORDER.index) for some in signs)
        line = Text(f"  {row.name:<{name}}")
        for sign in strip:
            line.append(sign, CAUTION if sign == MARKS[Verdict.NO_WAY] else "")
        line.rstrip()
        lines.append(line)
    several = "one minute" if a_sign == 1 else f"{a_sign} minutes, the worst of them"
    key = ", ".join(f"{MARKS[verdict]} {words}" for verdict, words in _KEY.items())
    told = f"{key}; none where it does not apply. A sign is {several}."
    return [*lines, *wrapped(Text(told, SOFT), width, indent=2)]


_KEY: Final = {
    Verdict.HOME: "gets home",
    Verdict.HURRIED: "stops cut short",
    Verdict.BEYOND_LIMITS: "breathing beyond limits",
    Verdict.HURRIED_BEYOND_LIMITS: "both",
    Verdict.NO_WAY: "no way home",
}
_ORDER: Final = [MARKS[verdict] for verdict in sorted(Verdict)]


def _scale(table: Table, a_sign: int) -> str:
    """Return round run times, each over its own minute."""
    step = next((s for s in _SCALE_MIN if s >= a_sign * _LEAST_BETWEEN), _SCALE_MIN[-1])
    scale = ""
    for minute in table.minutes:
        if minute % step == 0:
            scale = scale.ljust((minute - table.minutes[0]) // a_sign) + str(minute)
    return f"{scale} min"


def _row(row: TableRow, grid: Grid, number: int, width: int) -> Lines:
    style = CAUTION if row.first_without_min is not None else HEAD
    rows: list[tuple[str, str | Text]] = []
    if row.first_without_min is not None:
        rows.append(("no way", _without(grid.rows[number])))
    compromises = [span for span in row.spans if span.verdict > Verdict.HOME]
    if compromises:
        rows.append(("minutes", _spans(row.spans)))
    rows.append(("worst", row.worst))
    cures = cures_of(grid, number)
    rows += [("cure" if i == 0 else "or", cure.text) for i, cure in enumerate(cures)]
    return [Text(f"  {row.name}", style), *entries(rows, width, indent=4, column=9)]


def _spans(spans: Sequence[Span]) -> str:
    told = (span for span in spans if span.verdict is not Verdict.NOT_MEANT)
    return "; ".join(f"{_minutes(span)} {_KEY[span.verdict]}" for span in told)


def _minutes(span: Span) -> str:
    if span.from_min == span.to_min:
        return f"{span.from_min}"
    return f"{span.from_min}-{span.to_min}"
