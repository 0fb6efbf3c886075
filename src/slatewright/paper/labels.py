"""Labels for cylinders: the operating depth large enough to be read by the partner.

Two alike on a sheet of A4, one for each side of the cylinder. A cylinder that may not be used gets
a label too, which says so and nothing that could be taken for a depth.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from slatewright import cautions
from slatewright.paper.fill_words import percent_words
from slatewright.paper.slate_extras import one_line
from slatewright.paper.theme import FONT, SECOND_FONT, gas_marks, mixture_name
from slatewright.paper.typeset import typeset

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from slatewright.dive.plan import Plan
    from slatewright.fill.checked import CheckedCylinder
    from slatewright.fill.labelling import CylinderLabel
    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture

TEMPLATE: Final = "labels.typ"
LOWEST_MM: Final = 50.0
HIGHEST_MM: Final = 80.0
"""Between these the digits of the depth are high: common practice, no published source [mm]."""


@dataclass(frozen=True)
class LabelSheet:
    """What is printed.

    Parameters
    ----------
    labels
        Of the cylinders that may be used.
    refused
        The analysed cylinders that may not.
    plan
        The plan, for the letters of the gases; None to leave them out.
    """

    labels: Sequence[CylinderLabel]
    refused: Sequence[CheckedCylinder] = ()
    plan: Plan | None = None


def labels_pdf(sheet: LabelSheet) -> bytes:
    """Print labels.

    Parameters
    ----------
    sheet
        The labels.

    Returns
    -------
    bytes
        A PDF with a page of A4 for each cylinder; the same labels give the same bytes.
    """
    (pdf,) = typeset(TEMPLATE, labels_data(sheet))
    return pdf


def labels_png(sheet: LabelSheet, *, pixels_per_inch: float = 90.0) -> tuple[bytes, ...]:
    """Draw labels as pictures, for the screen.

    Parameters
    ----------
    sheet
        The labels.
    pixels_per_inch
        Fineness of the picture [1/inch].

    Returns
    -------
    tuple[bytes, ...]
        A PNG for each page.
    """
    return typeset(TEMPLATE, labels_data(sheet), form="png", pixels_per_inch=pixels_per_inch)


def labels_data(sheet: LabelSheet) -> dict[str, Any]:
    """Put together what the template prints: words and numbers, ready to set.

    Parameters
    ----------
    sheet
        The labels.

    Returns
    -------
    dict[str, Any]
        Plain data that goes to the template as JSON; nothing in it is read as markup.
    """
    marks = {} if sheet.plan is None else gas_marks(gas.mix for gas in sheet.plan.gases)
    return {
        "font": FONT,
        "second_font": SECOND_FONT,
        "lowest_mm": LOWEST_MM,
        "highest_mm": HIGHEST_MM,
        "caution": cautions.SHORT,
        "labels": [
            *(_label(label, marks) for label in sheet.labels),
            *(_refused(one) for one in sheet.refused),
        ],
    }


def _label(label: CylinderLabel, marks: Mapping[Mixture, GasMark]) -> dict[str, Any]:
    number, _, unit = label.depth.partition(" ")
    tag = f"NOT AT THE SURFACE: from {label.not_above} down" if label.not_above else ""
    return {
        "kind": "depth",
        "name": mixture_name(label.planned),
        "mark": _mark(marks.get(label.planned)),
        "percent": percent_words(label.analysed).split(", ")[: 1 + label.helium_read],
        "depth": number,
        "unit": unit,
        "limit": label.limit,
        "tag": tag,
        "floor": f"floor {label.floor_bar:g} bar" if label.not_above else "",
        "cylinder": one_line(label.cylinder),
        "owner": one_line(label.owner),
        "pressure": label.pressure,
        "by": one_line(label.by),
        "at": f"{label.at:%Y-%m-%d %H:%M}",
        "title": one_line(label.title),
    }


def _refused(one: CheckedCylinder) -> dict[str, Any]:
    reasons = [reason.what.removeprefix(f"{one.label}: ") for reason in one.reasons]
    return {
        "kind": "refused",
        "name": mixture_name(one.planned),
        "cylinder": one_line(one.label),
        "owner": one_line(one.owner),
        "reasons": [one_line(reason, 200) for reason in reasons],
        "by": one_line(one.analysis.by),
        "at": f"{one.analysis.at:%Y-%m-%d %H:%M}",
    }


def _mark(mark: GasMark | None) -> dict[str, Any] | None:
    if mark is None:
        return None
    return {"letter": mark.letter, "corners": list(mark.corners), "drop": mark.letter_drop}
