"""The wrist slate: PDF through typst, refused when the second check contradicts the schedule."""

from __future__ import annotations

import json
from importlib import resources
from typing import TYPE_CHECKING, Any, Final, Literal

from slatewright import cautions
from slatewright.dive import say
from slatewright.errors import CheckFailed, Reason
from slatewright.paper import slate_pages as layout
from slatewright.paper.as_printed import Column, deciding_column, excess_as_printed_bar
from slatewright.paper.reading import depth_text
from slatewright.paper.slate_extras import (
    NOTHING_MORE,
    GaugeLine,
    SlateExtras,
    banner,
    need_room,
    one_line,
)
from slatewright.paper.slate_foot import foot_lines
from slatewright.paper.slate_rows import (
    SETPOINT_VERB,
    ChangeKind,
    GasChange,
    RowKind,
    SlateRow,
    slate_rows,
)
from slatewright.paper.slate_short import gas_data, short_pages
from slatewright.paper.theme import FONT, SECOND_FONT, font_folder, gas_marks, mixture_name

if TYPE_CHECKING:
    from collections.abc import Sequence

    from slatewright.dive.schedule import Schedule
    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.units import UnitSystem

_NO_CLOCK: Final = 0
"""Seconds of the creation time in the PDF: the same dive gives the same bytes."""

_VERBS: Final = {
    ChangeKind.DOWN: "CHANGE TO",
    ChangeKind.BOTTOM: "CHANGE TO",
    ChangeKind.UP: "CHANGE TO",
    ChangeKind.BREAK: "BREAK ON",
    ChangeKind.BACK: "BACK TO",
}
_SHORT_VERBS: Final = {ChangeKind.BREAK: "BREAK", ChangeKind.BACK: "BACK"}


def slate_pdf(schedule: Schedule, extras: SlateExtras = NOTHING_MORE) -> bytes:
    """Print the slate of a dive.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.
    extras
        What is printed besides: pressures to turn at, short schedules, an override.

    Returns
    -------
    bytes
        A PDF of one or more pages of wrist size; the same schedule gives the same bytes.

    Raises
    ------
    CheckFailed
        If the second check did not pass: nothing is printed for the water.
    NoSafeAnswer
        If the dive has no way home and nobody overrides by name.
    InputError
        If the dive has no slate (gaps between its legs), or more is to be printed than there is
        room for.
    """
    (pdf,) = _printed(schedule, extras, form="pdf")
    return pdf


def slate_png(
    schedule: Schedule, extras: SlateExtras = NOTHING_MORE, *, pixels_per_inch: float = 200.0
) -> tuple[bytes, ...]:
    """Draw the pages of the slate as pictures, for the screen.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.
    extras
        What is printed besides.
    pixels_per_inch
        Fineness of the picture [1/inch].

    Returns
    -------
    tuple[bytes, ...]
        A PNG for each page.

    Raises
    ------
    CheckFailed
        If the second check did not pass.
    NoSafeAnswer
        If the dive has no way home and nobody overrides by name.
    InputError
        If the dive has no slate.
    """
    return _printed(schedule, extras, form="png", pixels_per_inch=pixels_per_inch)


def slate_data(schedule: Schedule, extras: SlateExtras = NOTHING_MORE) -> dict[str, Any]:
    """Put together what the template prints: words and numbers, ready to set.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.
    extras
        What is printed besides.

    Returns
    -------
    dict[str, Any]
        Plain data that goes to the template as JSON; nothing in it is read as markup.

    Raises
    ------
    CheckFailed
        If the second check did not pass.
    InputError
        If the dive has no slate.
    """
    decides = deciding_column(schedule)
    _refuse_unless_checked(schedule, decides)
    need_room(extras.gauges, extras.cases)
    printed_banner = banner(extras)
    other = Column.STOP if decides is Column.UNTIL else Column.UNTIL
    both = excess_as_printed_bar(schedule, other) <= 0.0
    plan = schedule.plan
    rows = slate_rows(schedule.legs)
    marks = gas_marks([gas.mix for gas in plan.gases] + [leg.gas for leg in schedule.legs])
    pages = layout.slate_pages(rows, gauges=len(extras.gauges), has_banner=bool(printed_banner))
    foot = foot_lines(schedule, decides=decides, both=both)
    if plan.loop is not None:
        letter, diluent = marks[plan.loop.diluent].letter, mixture_name(plan.loop.diluent)
        foot.insert(
            1, f"Closed circuit: LOOP with its setpoint in bar, {letter} is diluent {diluent}"
        )
    return {
        "title": one_line(plan.title),
        "depth_unit": plan.units.depth_unit,
        "font": FONT,
        "second_font": SECOND_FONT,
        "decides": decides.value,
        "banner": printed_banner,
        "sizes_mm": {
            "width": layout.PAGE_WIDTH_MM,
            "height": layout.PAGE_HEIGHT_MM,
            "margin": layout.MARGIN_MM,
            "title": layout.TITLE_MM,
            "foot": layout.FOOT_MM,
            "strip": layout.GAS_STRIP_MM,
            "head": layout.HEAD_MM,
            "row": layout.ROW_MM,
            "change": layout.CHANGE_MM,
            "turn": layout.TURN_MM,
            "banner": layout.BANNER_MM,
            "gauge_head": layout.GAUGE_HEAD_MM,
            "gauge": layout.GAUGE_MM,
        },
        "foot": foot,
        "caution": cautions.SHORT,
        "pages": [
            *(_page(page, marks, plan.units, extras.gauges) for page in pages),
            *short_pages(extras.cases, marks, plan.units, foot[0], plan.settings.breaks),
        ],
    }


def _refuse_unless_checked(schedule: Schedule, decides: Column) -> None:
    """Refuse to print what failed the second check, as computed or in whole minutes."""
    if not schedule.verdict.passed:
        findings = schedule.verdict.findings or ("the second check did not pass",)
        raise CheckFailed(
            *(Reason(finding, "no slate is printed; report this plan") for finding in findings)
        )
    excess_bar = excess_as_printed_bar(schedule, decides)
    if excess_bar > 0.0:
        raise CheckFailed(
            Reason(
                f"in whole minutes, as a slate is printed, a compartment passes its line by "
                f"{excess_bar:.4f} bar",
                "leave each level on a whole minute, so that nothing is rounded",
            )
        )


def _printed(
    schedule: Schedule,
    extras: SlateExtras,
    *,
    form: Literal["pdf", "png"],
    pixels_per_inch: float | None = None,
) -> tuple[bytes, ...]:
    data = slate_data(schedule, extras)  # refuses before anything is drawn
    import typst  # noqa: PLC0415 - start-up is budgeted, and only printing needs it

    template = resources.files("slatewright.paper") / "templates" / "slate.typ"
    made: bytes | list[bytes] = typst.compile(
        template.read_bytes(),
        format=form,
        ppi=pixels_per_inch,
        font_paths=typst.Fonts(include_system_fonts=False, font_paths=[str(font_folder())]),
        ignore_system_fonts=True,
        sys_inputs={"slate": json.dumps(data)},
        timestamp=_NO_CLOCK,
    )
    return (made,) if isinstance(made, bytes) else tuple(made)


def _page(
    page: layout.SlatePage,
    marks: dict[Mixture, GasMark],
    units: UnitSystem,
    gauges: Sequence[GaugeLine],
) -> dict[str, Any]:
    return {
        "kind": "schedule",
        "number": page.number,
        "of": page.of,
        "begins_on": _breathed(page.begins_on, page.begins_at_bar, marks),
        "continued": page.number > 1,
        "gauges": [_gauge(line) for line in gauges] if page.number == 1 else [],
        "down": [_line(change, marks, units) for change in page.down],
        "lines": [_line(line, marks, units) for line in page.lines],
    }


def _line(
    line: SlateRow | GasChange, marks: dict[Mixture, GasMark], units: UnitSystem
) -> dict[str, Any]:
    if isinstance(line, GasChange):
        return {
            "type": "change",
            "kind": line.kind.value,
            "verb": _verb(line),
            "depth": depth_text(line.depth_m, units),
            "gas": _breathed(line.gas, line.setpoint_bar, marks),
        }
    return {
        "type": "row",
        "kind": line.kind.value,
        "depth": "0" if line.kind is RowKind.SURFACE else depth_text(line.depth_m, units),
        "stop": "" if line.stop_min is None else str(line.stop_min),
        "until": str(line.until_min),
        "inverse": line.begins is ChangeKind.BREAK,
        "begins": "" if line.begins is None else _SHORT_VERBS[line.begins],
        "gas": _breathed(line.gas, line.setpoint_bar, marks),
    }


def _verb(change: GasChange) -> str:
    return _VERBS[change.kind] if change.setpoint_bar is None else SETPOINT_VERB


def _breathed(
    mix: Mixture,
    setpoint_bar: float | None,
    marks: dict[Mixture, GasMark],
) -> dict[str, Any]:
    """Return what is breathed: a gas by its name, a loop by its setpoint and its diluent's mark."""
    gas = gas_data(mix, marks)
    if setpoint_bar is not None:
        gas["name"] = f"LOOP {say.setpoint(setpoint_bar)}"
    return gas


def _gauge(line: GaugeLine) -> dict[str, str]:
    return {
        "diver": one_line(line.diver),
        "cylinder": one_line(line.cylinder),
        "turn": line.turn,
        "minimum": line.minimum,
    }
