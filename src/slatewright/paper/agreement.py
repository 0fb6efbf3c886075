"""The course agreement on paper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from slatewright import cautions
from slatewright.course.agreement import Agreement, Clause, clauses
from slatewright.paper.course_paper import (
    Block,
    CoursePaper,
    PageSize,
    facts,
    heading,
    listing,
    paragraph,
    signatures,
    table,
    title,
    together,
)

_FITS_ON_A_PAGE: Final = 1500
"""Letters of a clause that is not broken over two pages."""
_FEES_ON_A_PAGE: Final = 12


def agreement_pdf(agreement: Agreement, page: PageSize = PageSize.A4) -> bytes:
    """Print a course agreement, to be signed.

    Parameters
    ----------
    agreement
        The agreement.
    page
        The size of the paper.

    Returns
    -------
    bytes
        A PDF; the same agreement gives the same bytes.
    """
    return agreement_paper(agreement).pdf(page)


def agreement_paper(agreement: Agreement) -> CoursePaper:
    """Put together what is printed of a course agreement.

    Parameters
    ----------
    agreement
        The agreement.

    Returns
    -------
    CoursePaper
        The paper.
    """
    return CoursePaper(
        f"Course agreement, {agreement.course}",
        f"{agreement.course}: {agreement.school} and {agreement.diver}",
        cautions.AGREEMENT,
        tuple(_blocks(agreement)),
    )


def _blocks(a: Agreement) -> Iterator[Block]:
    yield title("Course agreement", a.course, (f"{a.begins_on} to {a.ends_on}",))
    yield facts(
        [
            ("between the school", a.school),
            ("and the diver", a.diver),
            ("instructor", a.instructor),
            ("place", a.place),
            ("limit of depth", a.greatest_depth),
            ("days kept in reserve", str(len(a.reserve_days)) if a.reserve_days else "none"),
        ]
    )
    for number, clause in enumerate(clauses(a), start=1):
        blocks = list(_clause(a, number, clause))
        length = sum(map(len, (*clause.paragraphs, *clause.items)))
        if length <= _FITS_ON_A_PAGE and len(a.fees) <= _FEES_ON_A_PAGE:
            yield together(blocks)
        else:
            yield from blocks
    yield signatures(
        [(a.diver, "diver: place, day, signature"), (a.school, "school: place, day, signature")]
    )


def _clause(a: Agreement, number: int, clause: Clause) -> Iterator[Block]:
    aside = "in the school's own words" if clause.own else ""
    yield heading(clause.heading, number=str(number), aside=aside)
    for text in clause.paragraphs:
        yield paragraph(text)
    if clause.items:
        yield listing(clause.items)
    if clause.id == "fees" and a.fees:
        yield table(
            (("for", 1, "left"), (f"amount, {a.currency}", None, "right")),
            [(fee.words, f"{fee.amount:,.2f}") for fee in a.fees],
            foot=("together", f"{a.total:,.2f}"),
            size_pt=10,
        )
