"""Mix-ups on the terminal: in short beside a dive, and all of them."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, entries, heading, wrapped
from slatewright.cli.gas_badges import Badges
from slatewright.cli.words import depth_words
from slatewright.paper.reading import depth_text
from slatewright.supply.mixup_breath import Harm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import Console

    from slatewright.dive.schedule import Schedule
    from slatewright.supply.mixups import Alike, MixUp, MixUps

Lines = list[Text]

_HARMS: Final = {
    Harm.DIFFERENT: "breathable",
    Harm.OVER_LIMIT: "over limits",
    Harm.GRAVE: "GRAVE",
    Harm.DEADLY: "DEADLY",
}


def mixup_notes(found: MixUps, badges: Badges, width: int) -> Lines:
    """Return the mix-ups of a dive in short.

    Parameters
    ----------
    found
        All of them.
    badges
        The marks of the gases.
    width
        Columns.
    """
    never = found.never_alike
    if never is None:
        return []
    rows: list[tuple[str, str | Text]] = [
        ("never alike", _pair(never, badges).append(f": {_times(never)}", "default not bold")),
        ("worst", never.worst.text),
    ]
    others = [pair for pair in found.alike if pair is not never and pair.grave]
    if others:
        told = Text()
        for pair in others:
            told.append("; " if told else "", "default not bold")
            told.append_text(_pair(pair, badges)).append(f", {_times(pair)}", "default not bold")
        rows.append(("nor", told))
    rows.append(("carried", found.order_text))
    return [heading("Mix-ups"), *entries(rows, width)]


def _pair(pair: Alike, badges: Badges) -> Text:
    one, other = pair.gases
    return badges.of(one).append(" and ", "default not bold").append_text(badges.of(other))


def _times(pair: Alike) -> str:
    if not pair.grave:
        return "nowhere grave"
    return f"grave or deadly at {pair.grave} {'moment' if pair.grave == 1 else 'moments'}"


def show_mixups(console: Console, dive: Schedule, found: MixUps) -> None:
    """Print all mix-ups of a dive.

    Parameters
    ----------
    console
        Where to.
    dive
        The finished dive.
    found
        All of them.
    """
    width = console.width
    badges = Badges([gas.mix for gas in dive.plan.gases] + [leg.gas for leg in dive.legs])
    lines = wrapped(Text(f"{dive.plan.title}: the wrong cylinder", HEAD), width)
    lines += [Text(), *mixup_notes(found, badges, width)]
    for pair in found.alike:
        lines += [Text(), *_pair_lines(pair, dive, badges, width)]
    lines += [Text(), *_table(found, dive, width)]
    for line in lines:
        console.print(line, soft_wrap=True)


def _pair_lines(pair: Alike, dive: Schedule, badges: Badges, width: int) -> Lines:
    worst = pair.worst
    style = CAUTION if worst.harm >= Harm.GRAVE else HEAD
    head = _pair(pair, badges).append(f"  {_HARMS[worst.harm]}", style)
    head.append(f"  {_times(pair)}", "default not bold")
    rows: list[tuple[str, str | Text]] = [("worst", worst.text)]
    for notice in worst.noticed:
        at = f"{notice.at_min:.0f} min, {depth_words(notice.at_m, dive.plan.units)}"
        rows.append((str(notice.who), f"({at}) {notice.text}"))
    return [head, *entries(rows, width)]


def _table(found: MixUps, dive: Schedule, width: int) -> Lines:
    units = dive.plan.units
    lines = [heading("Each moment"), Text(_cells("min", units.depth_unit, "", _FIGURES), SOFT)]
    mixups = sorted(found.found, key=lambda m: (m.moment.at_min, m.moment.handling, -m.rank[0]))
    for moment, group in groupby(mixups, key=lambda m: m.moment):
        place = (f"{moment.at_min:.0f}", depth_text(moment.at_m, units))
        lines.append(Text(_cells(*place, f"{moment.gas} {moment.handling}", ""), HEAD))
        for mixup in _once(group):
            line = Text(_cells("", "", f"  {mixup.wrong.mix} instead", _figures(mixup)))
            style = CAUTION if mixup.harm >= Harm.GRAVE else SOFT
            lines.append(line.append(f"  {_HARMS[mixup.harm]}", style))
    lines += wrapped(Text(_KEY, SOFT), width, indent=2)
    return lines


_FIGURES: Final = "ppO2  least   most   g/L"
_KEY: Final = (
    "ppO2 in bar and density there; least and most ppO2 if it is breathed on until the next "
    "change. 'waits' is what comes of a drop: the ascent with the two on the line in each "
    "other's place."
)


def _cells(minute: str, depth: str, what: str, figures: str) -> str:
    line = f"{minute:>5}{depth:>6}  {what}"
    return f"{line:<42}{figures}".rstrip() if figures else line


def _figures(mixup: MixUp) -> str:
    breath, waits = mixup.breath, mixup.waits
    if breath is not None:
        return (
            f"{breath.ppo2_bar:4.2f}{breath.lowest_ppo2_bar:7.2f}"
            f"{breath.highest_ppo2_bar:7.2f}{breath.density_g_per_l:6.1f}"
        )
    if waits is None or waits.extra_min is None:
        return f"{'waits: no ascent':<24}"
    if waits.runs_out:
        return f"{f'waits: no {waits.runs_out[0].gas} left':<24}"
    return f"{f'waits: {waits.extra_min:+.0f} min':<24}"


def _once(group: Iterable[MixUp]) -> list[MixUp]:
    """Leave out what is the same for another diver, or another's cylinder of the same gas."""
    seen: dict[object, MixUp] = {}
    for mixup in group:
        seen.setdefault((mixup.wrong.mix, mixup.harm, _figures(mixup)), mixup)
    return list(seen.values())
