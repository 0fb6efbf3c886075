"""The papers of a course, block by block: what agreement, record and letter are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from slatewright.paper.slate_extras import one_line
from slatewright.paper.theme import CAUTION, CONTOUR, DEPTH_TINTS, FONT, INK, SECOND_FONT, SOFT_INK
from slatewright.paper.typeset import typeset

TEMPLATE: Final = "course_paper.typ"
_LONGEST: Final = 4000

Block = dict[str, Any]
"""A block of a paper: plain data with its kind, that goes to the template as JSON."""


class PageSize(StrEnum):
    """The size of the paper."""

    A4 = "a4"
    LETTER = "us-letter"


@dataclass(frozen=True, slots=True)
class CoursePaper:
    """A paper, ready to be set.

    Parameters
    ----------
    title
        Its title, for the file.
    foot
        What stands at the foot of each page.
    cautions
        The cautions at the foot of each page.
    blocks
        What is printed, in order.
    """

    title: str
    foot: str
    cautions: tuple[str, ...]
    blocks: tuple[Block, ...]

    def data(self, page: PageSize) -> dict[str, Any]:
        """Return what the template takes.

        Parameters
        ----------
        page
            The size of the paper.
        """
        return {
            "title": line(self.title),
            "foot": line(self.foot),
            "page": str(page),
            "cautions": list(self.cautions),
            "blocks": list(self.blocks),
            "look": {
                "font": FONT,
                "second_font": SECOND_FONT,
                "ink": INK,
                "soft": SOFT_INK,
                "contour": CONTOUR,
                "caution": CAUTION,
                "tints": list(DEPTH_TINTS),
            },
        }

    def pdf(self, page: PageSize = PageSize.A4) -> bytes:
        """Return the paper as a PDF; the same paper gives the same bytes.

        Parameters
        ----------
        page
            The size of the paper.
        """
        (pdf,) = typeset(TEMPLATE, self.data(page))
        return pdf

    def png(
        self, page: PageSize = PageSize.A4, *, pixels_per_inch: float = 110.0
    ) -> tuple[bytes, ...]:
        """Return a picture of each page, for the screen.

        Parameters
        ----------
        page
            The size of the paper.
        pixels_per_inch
            Fineness of the picture [1/inch].
        """
        return typeset(TEMPLATE, self.data(page), form="png", pixels_per_inch=pixels_per_inch)


def line(text: str) -> str:
    """Return a person's words without line breaks and control characters.

    Parameters
    ----------
    text
        The words.
    """
    return one_line(text, _LONGEST)


def title(kind_of_paper: str, text: str, beside: Sequence[str] = ()) -> Block:
    """Return the head of a paper.

    Parameters
    ----------
    kind_of_paper
        What it is.
    text
        Its title.
    beside
        Lines at its right.
    """
    return {
        "kind": "title",
        "kind_of_paper": line(kind_of_paper),
        "title": line(text),
        "beside": [line(one) for one in beside],
    }


def facts(pairs: Iterable[tuple[str, str]], *, shares: Sequence[float] = (1, 1, 1)) -> Block:
    """Return facts, each under its label; one without a value is left out.

    Parameters
    ----------
    pairs
        Label and value.
    shares
        Of the width, one for each that stands in a row.
    """
    said = [[line(label), line(value)] for label, value in pairs if value]
    return {"kind": "facts", "shares": list(shares), "facts": said}


def heading(text: str, *, number: str = "", aside: str = "") -> Block:
    """Return a heading.

    Parameters
    ----------
    text
        The heading.
    number
        What stands before it.
    aside
        What stands beside it, small.
    """
    return {"kind": "heading", "text": line(text), "number": number, "aside": line(aside)}


def paragraph(text: str, *, soft: bool = False) -> Block:
    """Return a paragraph.

    Parameters
    ----------
    text
        The words.
    soft
        Whether it is small print.
    """
    return {"kind": "text", "text": line(text), "soft": soft}


def listing(items: Iterable[str]) -> Block:
    """Return a list.

    Parameters
    ----------
    items
        Its items.
    """
    return {"kind": "list", "items": [line(item) for item in items]}


def cell(
    text: str, *, tone: str = "", sign: str = "", more: Sequence[str] = (), below: str = ""
) -> Block:
    """Return a cell of a table.

    Parameters
    ----------
    text
        The words.
    tone
        ``bold``, ``soft``, ``struck``, or empty.
    sign
        The shape before it: ``done``, ``partly``, ``again``, ``open``, or empty.
    more
        Further lines.
    below
        Small words below it.
    """
    return {
        "text": line(text),
        "tone": tone,
        "sign": sign,
        "more": [line(one) for one in more],
        "below": line(below),
    }


def table(
    head: Sequence[tuple[str, float | None, str]],
    rows: Iterable[Sequence[str | Block]],
    *,
    foot: Sequence[str] = (),
    size_pt: float = 9.5,
) -> Block:
    """Return a table.

    Parameters
    ----------
    head
        For each column its label, its share of the width or None for as wide as it must be, and
        ``left``, ``right`` or ``center``.
    rows
        A text or a cell for each column.
    foot
        A last row, such as sums.
    size_pt
        Size of the letters [pt].
    """
    return {
        "kind": "table",
        "head": [line(label) for label, _, _ in head],
        "widths": ["auto" if share is None else share for _, share, _ in head],
        "align": [side for _, _, side in head],
        "rows": [[line(c) if isinstance(c, str) else c for c in row] for row in rows],
        "foot": [line(one) for one in foot],
        "size": size_pt,
    }


def together(blocks: Iterable[Block]) -> Block:
    """Return blocks that stay on one page; they must fit on one.

    Parameters
    ----------
    blocks
        The blocks, none of them such a group itself.
    """
    return {"kind": "group", "blocks": list(blocks)}


def caution(text: str) -> Block:
    """Return a caution.

    Parameters
    ----------
    text
        The words.
    """
    return {"kind": "caution", "text": line(text)}


def signatures(lines: Iterable[tuple[str, str]]) -> Block:
    """Return lines to sign on.

    Parameters
    ----------
    lines
        Who signs, and what stands below the name.
    """
    return {"kind": "signatures", "lines": [[line(who), line(what)] for who, what in lines]}
