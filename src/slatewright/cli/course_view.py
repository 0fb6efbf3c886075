"""A course on the terminal: its dives by day, what speaks against them, flying, gas."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, entries, heading, wrapped
from slatewright.course.buildup import NOT_JUDGED
from slatewright.paper.course_dates import doses_of, gas_totals, rows_of
from slatewright.paper.reading import free_text
from slatewright.paper.theme import mixture_name
from slatewright.physics.units import round_up

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.course.buildup import BuildUp
    from slatewright.course.exposure import DayDose
    from slatewright.course.proposal import Proposal

Lines = list[Text]
_HOUR_MIN: Final = 60


def show_course(console: Console, built: BuildUp, proposal: Proposal | None) -> None:
    """Print a build-up.

    Parameters
    ----------
    console
        The terminal.
    built
        The build-up.
    proposal
        A better order, if one was looked for.
    """
    width = console.width
    count = sum(finding.violates for finding in built.findings)
    verdict = "within its limits" if built.clean else f"{count} findings against it"
    lines: Lines = [
        Text(built.course.title, HEAD).append(f"  {verdict}", "" if built.clean else CAUTION),
        Text(),
        *_dives(built, width),
        Text(),
        *_findings(built, width),
        *_oxygen(built, width),
        Text(),
        *_flying(built, width),
        Text(),
        *_gas(built, width),
    ]
    if proposal is not None:
        lines += [Text(), *_proposal(proposal)]
    lines += [Text(), heading("Not judged here")]
    for sentence in NOT_JUDGED:
        lines += wrapped(Text(sentence), width, indent=2)
    for line in lines:
        console.print(line, overflow="ignore", no_wrap=True, crop=False)


def _dives(built: BuildUp, width: int) -> Lines:
    units = built.course.units
    head = (
        f"  {'':<3}{'day':<12}{'at':<7}{'depth':>7}{'run':>6}{'before':>9}{'load':>6}  {'CNS':>5}"
    )
    lines = [heading("Dives"), Text(f"{head}{'OTU':>6}", SOFT)]
    numbers = {
        (one.elsewhere, one.dive): place
        for place, one in reversed(list(enumerate(built.findings, 1)))
    }
    rows = {row.number: row for row in rows_of(built)}
    for timed in built.timeline.dives:
        if timed.dive.elsewhere:
            lines.append(
                Text(f"     {timed.dive.start:%Y-%m-%d  %H:%M}  {timed.dive.called}", SOFT)
            )
            continue
        row = rows[timed.dive.number]
        mark = numbers.get((False, row.number))
        before = "" if row.interval_min is None else _interval(row.interval_min)
        cns = "" if row.cns_pct is None else f"{_up(row.cns_pct)} %"
        otu = "" if row.pulmonary is None else _up(row.pulmonary)
        load = "" if row.load is None else f"{row.load:g}"
        depth = f"{timed.dive.deepest.to(units):g} {units.depth_unit}"
        text = Text(
            f"  {row.number:<3}{row.starts:%Y-%m-%d}  {row.starts:%H:%M}  {depth:>7}"
            f"{row.run_time_min:>6.0f}{before:>9}{load:>6}  {cns:>5}{otu:>6}"
        )
        lines.append(text.append(f"  !{mark}", CAUTION) if mark else text)
        told = [("", row.title), ("gas", row.gases)]
        told += [("new", row.new)] if row.new else []
        told += [("skills", row.skills)] if row.skills else []
        differing = {f"{d.name} {_up(d.cns_pct)} % and {_up(d.otu)}" for d in doses_of(timed)}
        if len({text.split(" ", 1)[1] for text in differing}) > 1:
            told.append(("doses", ", ".join(sorted(differing))))
        lines += entries([(name, Text(words)) for name, words in told], width, indent=5)
    return lines


def _up(dose: float) -> str:
    """Return a dose rounded up to a whole number; beyond the table it is none."""
    return str(round(round_up(dose))) if math.isfinite(dose) else ">"


def _interval(minutes: float) -> str:
    hours, rest = divmod(round(minutes), _HOUR_MIN)
    return f"{hours}:{rest:02}"


def _findings(built: BuildUp, width: int) -> Lines:
    lines: Lines = []
    if built.findings:
        lines.append(heading("Findings"))
    for place, one in enumerate(built.findings, 1):
        head = Text(f"  !{place} {str(one.severity).upper()}  ", CAUTION if one.violates else SOFT)
        where = f"dive {one.dive}" if one.dive else "the course"
        lines.append(head.append(f"{one.code.replace('-', ' ')}, {where}", "not bold"))
        rows = [("what", one.text), ("why", one.why)]
        rows += [("cure", one.cure)] if one.cure else []
        lines += entries([(name, Text(words)) for name, words in rows], width, indent=5)
    return [*lines, Text()] if lines else []


def _oxygen(built: BuildUp, width: int) -> Lines:
    """Write the pulmonary units of each day; who has the same stands together."""
    lines = [
        heading("Oxygen").append("  by the day, all courses, OTU of what is allowed", "not bold")
    ]
    same: dict[DayDose, list[str]] = {}
    for name, days in built.timeline.days.items():
        for dose in days:
            same.setdefault(dose, []).append(name)
    for dose in sorted(same, key=lambda one: (one.day, same[one])):
        names = same[dose]
        who = "all" if len(names) == len(built.timeline.days) > 1 else ", ".join(names)
        own = f"{_up(dose.otu)} of {dose.allowed_otu:.0f}"
        run = f"{_up(dose.run_otu)} of {dose.allowed_run_otu:.0f}"
        text = Text(f"  {dose.day:%Y-%m-%d}  {own:>11}  in the run {run:>12}  {who}")
        lines += wrapped(text.append("  too much", CAUTION) if dose.over else text, width, indent=0)
    return lines


def _flying(built: BuildUp, width: int) -> Lines:
    lines = [heading("Flying").append("  not before", "not bold")]
    rows = [
        (
            name,
            Text(f"{flying.earliest:%Y-%m-%d %H:%M}").append(f"  {flying.because}", SOFT)
            if flying is not None
            else Text("not known: a dive could not be computed", CAUTION),
        )
        for name, flying in built.flying.items()
    ]
    return [*lines, *entries(rows, width)]


def _gas(built: BuildUp, width: int) -> Lines:
    units = built.course.units
    lines = [heading("Gas").append("  for all dives and divers", "not bold")]
    lines.append(Text(f"  {'':<10}{'breathed':>14}{'in cylinders':>16}", SOFT))
    for mix, total in gas_totals(built).items():
        used, filled = free_text(total.used_free_l, units), free_text(total.filled_free_l, units)
        lines.append(Text(f"  {mixture_name(mix):<10}{used:>14}{filled:>16}"))
    return [*lines, *_cost(built, width)]


def _cost(built: BuildUp, width: int) -> Lines:
    gas = built.gas
    if gas is None:
        return []
    rows = []
    if gas.bill is not None:
        currency = gas.bill.currency
        rows = [("fills", Text(f"{gas.bill.total:,.2f} {currency} of gas goes into them"))]
        orders = () if gas.order is None else (gas.order.helium, gas.order.oxygen)
        kinds = [f"{count} x {offer.name}" for one in orders for offer, count in one.kinds]
        if kinds:
            cost = "" if gas.order_cost is None else f", {gas.order_cost:,.2f} {currency}"
            rows.append(("order", Text(f"{', '.join(kinds)}{cost}")))
    lines = [Text(), *entries(rows, width)] if rows else []
    for note in gas.notes:
        lines += wrapped(Text(note, SOFT), width, indent=2)
    return lines


def _proposal(proposal: Proposal) -> Lines:
    lines = [heading("Proposal")]
    if not proposal.moves:
        lines.append(Text("  the course is as good as it stands"))
    lines += [Text(f"  dive {move.dive} to {move.to:%Y-%m-%d %H:%M}") for move in proposal.moves]
    said = "no order on these days is better" if proposal.least else "the best that was found"
    lines.append(Text(f"  {said}; {proposal.trials} dives solved", SOFT))
    return lines
