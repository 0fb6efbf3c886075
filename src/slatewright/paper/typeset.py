"""From data and a template to PDF or pictures, through typst: no network, no clock."""

from __future__ import annotations

import json
from importlib import resources
from typing import TYPE_CHECKING, Any, Final, Literal

from slatewright.paper.theme import font_folder

if TYPE_CHECKING:
    from collections.abc import Mapping

_NO_CLOCK: Final = 0
"""Seconds of the creation time in the PDF: the same data give the same bytes."""


def typeset(
    template: str,
    data: Mapping[str, Any],
    *,
    form: Literal["pdf", "png"] = "pdf",
    pixels_per_inch: float | None = None,
) -> tuple[bytes, ...]:
    """Print data with one of our templates.

    Parameters
    ----------
    template
        The name of a file in ``templates``.
    data
        What goes to it as JSON, as ``sys.inputs.data``; nothing in it is read as markup.
    form
        ``pdf`` for one file, ``png`` for a picture of each page.
    pixels_per_inch
        Fineness of the pictures [1/inch].

    Returns
    -------
    tuple[bytes, ...]
        One PDF, or a PNG for each page.
    """
    import typst  # noqa: PLC0415 - start-up is budgeted, and only printing needs it

    source = resources.files("slatewright.paper") / "templates" / template
    made: bytes | list[bytes] = typst.compile(
        source.read_bytes(),
        format=form,
        ppi=pixels_per_inch,
        font_paths=typst.Fonts(include_system_fonts=False, font_paths=[str(font_folder())]),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data)},
        timestamp=_NO_CLOCK,
    )
    return (made,) if isinstance(made, bytes) else tuple(made)
