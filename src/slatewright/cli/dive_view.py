"""A finished dive on the terminal, for narrow screens and wide ones."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright import cautions
from slatewright.cli import dive_notes
from slatewright.cli.console import CAUTION, HEAD, SOFT, wrapped
from slatewright.cli.dive_table import WIDTH, dive_table
from slatewright.cli.gas_badges import Badges
from slatewright.cli.words import depth_words, water_words
from slatewright.paper.dive_rows import first_stop_m
from slatewright.paper.reading import minutes_up

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.cli.judging import Answer
    from slatewright.supply.judged import Judged

_BESIDE: Final = 110
"""From this width on, the notes stand beside the table [columns]."""
_GUTTER: Final = WIDTH + 12
"""Where they begin then: after the table and the marks of up to three hazards [columns]."""


def show_dive(console: Console, answer: Answer, *, rules_from: str) -> None:
    """Print a dive.

    Parameters
    ----------
    console
        Where to.
    answer
        The finished dive, which has passed its second check, with its gas.
    rules_from
        Where the house rules come from, in words.
    """
    width, dive, judged = console.width, answer.dive, answer.judged
    badges = Badges([gas.mix for gas in dive.plan.gases] + [leg.gas for leg in dive.legs])
    table = dive_table(dive, badges)
    room = width - _GUTTER if width >= _BESIDE else width
    notes = _stacked(
        dive_notes.travel_notes(dive, badges, room),
        dive_notes.setpoint_notes(dive, badges, room),
        dive_notes.oxygen_notes(dive, room),
        dive_notes.rule_notes(dive, rules_from, room),
    )
    body = _side_by_side(table, notes) if width >= _BESIDE else _stacked(table, notes)
    page = _stacked(
        _title(answer, width),
        body,
        *_gas(judged, badges, width),
        *_loop(answer, badges, width),
        dive_notes.hazard_notes(dive, width),
        dive_notes.check_notes(dive, width),
        dive_notes.caution_notes(width),
    )
    for line in page:
        console.print(line, soft_wrap=True)


def _stacked(*blocks: list[Text]) -> list[Text]:
    """Put blocks under one another, an empty line between; empty blocks are left out."""
    lines: list[Text] = []
    for block in blocks:
        if block and lines:
            lines.append(Text())
        lines += block
    return lines


def _side_by_side(left: list[Text], right: list[Text]) -> list[Text]:
    lines = []
    for one, other in zip_longest(left, right, fillvalue=Text()):
        line = Text().append_text(
            one
        )  # a fresh line, so that no style of the left colours the right
        if other:
            line.pad_right(max(_GUTTER - len(line), 1))
            line.append_text(other)
        lines.append(line)
    return lines


def _gas(judged: Judged | None, badges: Badges, width: int) -> Iterator[list[Text]]:
    """Yield the blocks on the gas of a dive; what they need is imported for dives with gas only."""
    if judged is None:
        return
    from slatewright.cli.lift_view import lift_notes  # noqa: PLC0415 - start-up is budgeted
    from slatewright.cli.mixups_view import mixup_notes  # noqa: PLC0415 - as above
    from slatewright.cli.supply_view import supply_notes  # noqa: PLC0415 - as above
    from slatewright.cli.wayhome_view import wayhome_notes  # noqa: PLC0415 - as above

    yield supply_notes(judged.supply, badges, width)
    yield lift_notes(judged.lifts, judged.supply.plan.units, width)
    yield wayhome_notes(judged, width)
    yield mixup_notes(judged.mixups, badges, width)


def _loop(answer: Answer, badges: Badges, width: int) -> Iterator[list[Text]]:
    """Yield the blocks on the gas of a dive on a closed circuit."""
    if answer.loop is None:
        return
    from slatewright.cli.dive_loop import loop_notes  # noqa: PLC0415 - start-up is budgeted
    from slatewright.cli.wayhome_view import wayhome_notes  # noqa: PLC0415 - as above

    yield loop_notes(answer.loop, badges, width)
    yield wayhome_notes(answer.loop, width)


def _title(answer: Answer, width: int) -> list[Text]:
    dive, earlier = answer.dive, answer.earlier
    plan, settings, units = dive.plan, dive.plan.settings, dive.plan.units
    stop_m = first_stop_m(dive)
    first = "no stops" if stop_m is None else f"first stop at {depth_words(stop_m, units)}"
    run = f"{minutes_up(dive.runtime_min)} min of run time, {first}"
    factors = f"{settings.gradient_low * 100:g}/{settings.gradient_high * 100:g}"
    site = water_words(plan.water)
    if earlier:
        site += f", after {earlier} earlier {'dive' if earlier == 1 else 'dives'}"
    model = (
        f"{settings.model}, gradient factors {factors}, levels of "
        f"{depth_words(settings.stop_step_m, units)}, last stop at "
        f"{depth_words(settings.last_stop_m, units)}"
    )
    return [
        *wrapped(Text(plan.title, HEAD), width),
        Text(run),
        *wrapped(Text(site, SOFT), width),
        *wrapped(Text(model, SOFT), width),
        *wrapped(_gas_in_short(answer), width),
    ]


def _gas_in_short(answer: Answer) -> Text:
    """Say above all else whether there is a way home, or that nobody has looked."""
    judged = answer.judged
    if answer.loop is not None:
        from slatewright.cli.dive_loop import bailout_in_short  # noqa: PLC0415 - as above

        return bailout_in_short(answer.loop)
    if judged is None:
        words = cautions.NO_CYLINDERS
        return Text(words[0].upper() + words[1:], CAUTION)
    from slatewright.cli.wayhome_view import verdict_words  # noqa: PLC0415 - as above

    style = CAUTION if judged.no_way_home else ""
    ends = next((h for h in judged.no_way_home if h.code == "out-of-gas"), None)
    if ends is not None:
        return Text(f"NOT ENOUGH GAS: {ends.text}", style)
    return Text(
        f"{'Way home' if not style else 'NO WAY HOME'}: {verdict_words(judged.grid)}", style
    )
