"""The fill room on the terminal: cylinders with their steps, banks, leftovers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, entries, heading, wrapped
from slatewright.cli.order_view import order_lines
from slatewright.fill.room import FillOrder
from slatewright.paper.fill_words import (
    bill_words,
    body_words,
    holds_words,
    percent_words,
    room_words,
    spread_words,
    step_words,
    target_words,
)
from slatewright.paper.reading import free_text, gauge_text, temperature_text

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.errors import Reason
    from slatewright.fill.leftovers import Leftover
    from slatewright.fill.session import DoneFill, RefusedFill, Session
    from slatewright.physics.units import UnitSystem

Lines = list[Text]

_READING: Final = 34
_AMOUNT: Final = 14
_INDENT: Final = 3
_MOST_USES: Final = 4


def show_session(console: Console, session: Session) -> None:
    """Print what a fill file asks for.

    Parameters
    ----------
    console
        Where to.
    session
        The fills.
    """
    width = console.width
    blocks = [_title(session, width)]
    blocks += [_fill(i, fill, session, width) for i, fill in enumerate(session.fills, 1)]
    blocks += [
        _refused(i, one, session.file.units, width)
        for i, one in enumerate(session.refused, len(session.fills) + 1)
    ]
    blocks += [_banks(session), _bill(session, width)]
    blocks += [_leftover(one, session.file.units, width) for one in session.leftovers]
    blocks += [order_lines(session, width), _cautions(session, width)]
    first = True
    for block in blocks:
        if block and not first:
            console.print()
        for line in block:
            console.print(line, soft_wrap=True)
        first = first and not block


def _title(session: Session, width: int) -> Lines:
    told = f"{session.file.date}. {room_words(session)}"
    if session.before.prices is not None:
        told += f" Prices of {session.before.prices.on}."
    lines = [*wrapped(Text(session.file.title, HEAD), width), *wrapped(Text(told, SOFT), width)]
    if session.file.room.order is FillOrder.LEAST_BOUGHT and session.fills:
        words = (
            "In another order than written, so that the banks go further."
            if session.reordered
            else "In the order written: no other makes the banks go further."
        )
        lines += wrapped(Text(words, SOFT), width)
    return lines


def _fill(number: int, fill: DoneFill, session: Session, width: int) -> Lines:
    blend, units = fill.blend, session.file.units
    label = blend.receiver.label
    head = Text(f"{number}  {label.upper()}", HEAD)
    head.append(f"  {target_words(blend.target, fill.gauge_bar, units)}", HEAD)
    lines = wrapped(head, width)
    what = f"{body_words(blend.receiver, session)}; now {holds_words(fill, units)}"
    lines += wrapped(Text(what, SOFT), width, indent=_INDENT)
    for caution in fill.cautions:
        lines += wrapped(_warning(caution, label), width, indent=_INDENT)
    lines += _steps(fill, session, width)
    rows: list[tuple[str, str | Text]] = [("analyse", Text(percent_words(blend.mix), HEAD))]
    if fill.spread is not None:
        certain = spread_words(fill.spread, blend)
        rows.append(("certain", certain if fill.spread.stays_inside else Text(certain, CAUTION)))
    if blend.bill is not None:
        rows.append(("cost", bill_words(blend.bill)))
    return [*lines, *entries(rows, width, indent=_INDENT)]


def _warning(caution: str, label: str) -> Text:
    return Text("! ", CAUTION).append(caution.removeprefix(f"{label}: "), CAUTION)


def _steps(fill: DoneFill, session: Session, width: int) -> Lines:
    blend, units = fill.blend, session.file.units
    unit = units.pressure_unit
    at = temperature_text(blend.fill_temperature_k, units)
    settled = temperature_text(blend.reference_temperature_k, units)
    if not blend.steps:
        return wrapped(Text("nothing to do: it holds what it should", HEAD), width, indent=_INDENT)
    begin = (
        "vacuum" if blend.receiver.contents is None else gauge_text(blend.start_gauge_bar, units)
    )
    shown = "" if blend.receiver.contents is None else unit
    lines = [_row(f"at {at} the gauge shows", begin, shown, "", SOFT)]
    words = step_words(blend, units)
    for number, (step, said) in enumerate(zip(blend.steps, words, strict=True), 1):
        reading = said.reading
        act = f"[ ] {number} {said.act} to"
        lines.append(_row(act, reading, unit, free_text(step.free_l, units), HEAD))
        for valve in said.valves:
            lines += wrapped(Text(f"- {valve}", SOFT), width, indent=_INDENT + 6)
    after = gauge_text(blend.settled_gauge_bar, units)
    lines.append(_row(f"[ ] rests, settles at {settled} to", after, unit, "", HEAD))
    return lines


def _row(what: str, reading: str, unit: str, amount: str, style: str) -> Text:
    line = Text(" " * _INDENT).append(f"{what:<{_READING}}", "not bold not dim")
    line.append(f"{reading:>7}", style).append(f" {unit:<4}", "not bold")
    line.append(f"{amount:>{_AMOUNT}}" if amount else "", "not bold")
    line.rstrip()
    return line


def _refused(number: int, one: RefusedFill, units: UnitSystem, width: int) -> Lines:
    job = one.job
    head = Text(f"{number}  {job.receiver.label.upper()}", HEAD)
    head.append(f"  {target_words(job.mix, job.gauge_bar, units)}", HEAD)
    head.append("  NOT FILLED", CAUTION)
    lines = wrapped(head, width)
    for reason in one.refusal.reasons:
        lines += reason_lines(reason, job.receiver.label, width)
    return lines


def reason_lines(reason: Reason, label: str, width: int) -> Lines:
    """Return why something is refused, and what would cure it.

    Parameters
    ----------
    reason
        The reason.
    label
        The cylinder, whose name the reason need not repeat.
    width
        Columns.
    """
    rows: list[tuple[str, str | Text]] = [
        ("because", Text(reason.what.removeprefix(f"{label}: "), CAUTION))
    ]
    if reason.cure:
        rows.append(("cure", reason.cure))
    return entries(rows, width, indent=_INDENT)


def _banks(session: Session) -> Lines:
    units = session.file.units
    rows = []
    for before, after in zip(session.before.sources, session.room.sources, strict=True):
        if before.bank is None or after.bank is None or not session.fills:
            continue
        shown = zip(
            before.bank.cylinders, before.bank.gauges_bar(), after.bank.gauges_bar(), strict=True
        )
        for one, was_bar, is_bar in shown:
            was, now = gauge_text(was_bar, units), gauge_text(is_bar, units)
            line = Text(f"  {before.name:<14}{one.label:<20}{was:>8} to ")
            rows.append(
                line.append(f"{now:>6}", HEAD).append(f" {units.pressure_unit}", "not bold")
            )
    return [heading("Banks afterwards"), *rows] if rows else []


def _bill(session: Session, width: int) -> Lines:
    if session.bill is None:
        return []
    count = len(session.fills)
    title = heading("Cost of all" if count > 1 else "Cost")
    return wrapped(title.append(f"  {bill_words(session.bill)}", "not bold"), width)


def _leftover(one: Leftover, units: UnitSystem, width: int) -> Lines:
    inside = one.receiver.contents
    shown = f"{gauge_text(one.gauge_bar, units)} {units.pressure_unit}"
    mix = "" if inside is None else f" of {inside.mixture()}"
    lines = wrapped(
        heading("Leftover").append(f"  {one.receiver.label}: {shown}{mix}", HEAD), width
    )
    low, high = (f"{share * 100.0:.0f}" for share in one.helium)
    if low != high:
        told = f"helium may be anything from {low} to {high} %: {one.known} only; analyse both"
        lines += wrapped(Text(f"! {told}", CAUTION), width, indent=_INDENT)
    for use in one.uses[:_MOST_USES]:
        words = f"- {use.text}"
        if use.saved:
            words += f": saves {use.saved:,.2f}"
        if use.helium_saved_free_l > 0.0:
            words += f", {free_text(use.helium_saved_free_l, units)} of helium less"
        lines += wrapped(Text(words), width, indent=_INDENT)
    return lines


def _cautions(session: Session, width: int) -> Lines:
    lines = [Text("CAUTIONS", CAUTION)]
    for caution in session.cautions:
        lines += wrapped(Text(caution), width, indent=2)
    return lines
