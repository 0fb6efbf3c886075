"""The wrist slate: PDF through typst, refused when the second check contradicts the schedule."""

from __future__ import annotations

import json
from importlib import resources
from typing import TYPE_CHECKING, Any, Final, Literal

from slatewright import cautions
from slatewright.errors import CheckFailed, Reason
from slatewright.paper import slate_pages as layout
from slatewright.paper.reading import depth_text
from slatewright.paper.slate_foot import foot_lines
from slatewright.paper.slate_rows import ChangeKind, GasChange, RowKind, SlateRow, slate_rows
from slatewright.paper.theme import FONT, SECOND_FONT, font_folder, gas_marks, mixture_name

if TYPE_CHECKING:
    from slatewright.dive.schedule import Schedule
    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.units import UnitSystem

_NO_CLOCK: Final = 0
"""Seconds of the creation time in the PDF: the same dive gives the same bytes."""

_LONGEST_TITLE: Final = 120
_VERBS: Final = {
    ChangeKind.DOWN: "CHANGE TO",
    ChangeKind.BOTTOM: "CHANGE TO",
    ChangeKind.UP: "CHANGE TO",
    ChangeKind.BREAK: "BREAK ON",
    ChangeKind.BACK: "BACK TO",
}


def slate_pdf(schedule: Schedule) -> bytes:
    """Print the slate of a dive.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.

    Returns
    -------
    bytes
        A PDF of one or more pages of wrist size; the same schedule gives the same bytes.

    Raises
    ------
    CheckFailed
        If the second check did not pass: nothing is printed for the water.
    InputError
        If the dive has no slate (closed circuit, gaps between its legs).
    """
    (pdf,) = _printed(schedule, form="pdf")
    return pdf


def slate_png(schedule: Schedule, *, pixels_per_inch: float = 200.0) -> tuple[bytes, ...]:
    """Draw the pages of the slate as pictures, for the screen.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.
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
    InputError
        If the dive has no slate.
    """
    return _printed(schedule, form="png", pixels_per_inch=pixels_per_inch)


def slate_data(schedule: Schedule) -> dict[str, Any]:
    """Put together what the template prints: words and numbers, ready to set.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.

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
    if not schedule.verdict.passed:
        findings = schedule.verdict.findings or ("the second check did not pass",)
        raise CheckFailed(
            *(Reason(finding, "no slate is printed; report this plan") for finding in findings)
        )
    plan = schedule.plan
    rows = slate_rows(schedule.legs)
    marks = gas_marks([gas.mix for gas in plan.gases] + [leg.gas for leg in schedule.legs])
    return {
        "title": _one_line(plan.title),
        "depth_unit": plan.units.depth_unit,
        "font": FONT,
        "second_font": SECOND_FONT,
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
        },
        "foot": foot_lines(schedule, rounded_up=rows.rounded_up),
        "caution": cautions.SHORT,
        "pages": [_page(page, marks, plan.units) for page in layout.slate_pages(rows)],
    }


def _printed(
    schedule: Schedule, *, form: Literal["pdf", "png"], pixels_per_inch: float | None = None
) -> tuple[bytes, ...]:
    data = slate_data(schedule)  # refuses before anything is drawn
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
    page: layout.SlatePage, marks: dict[Mixture, GasMark], units: UnitSystem
) -> dict[str, Any]:
    return {
        "kind": "schedule",
        "number": page.number,
        "of": page.of,
        "begins_on": _gas(page.begins_on, marks),
        "continued": page.number > 1,
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
            "verb": _VERBS[line.kind],
            "depth": depth_text(line.depth_m, units),
            "gas": _gas(line.gas, marks),
        }
    return {
        "type": "row",
        "kind": line.kind.value,
        "depth": "0" if line.kind is RowKind.SURFACE else depth_text(line.depth_m, units),
        "stop": "" if line.stop_min is None else str(line.stop_min),
        "until": str(line.until_min),
        "gas": _gas(line.gas, marks),
    }


def _gas(mix: Mixture, marks: dict[Mixture, GasMark]) -> dict[str, Any]:
    mark = marks[mix]
    return {
        "name": mixture_name(mix),
        "letter": mark.letter,
        "corners": mark.corners,
        "drop": mark.letter_drop,
    }


def _one_line(text: str) -> str:
    """Make a person's title fit for its place: no line breaks, no control characters, no novel."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return line if len(line) <= _LONGEST_TITLE else f"{line[: _LONGEST_TITLE - 1]}…"
