"""``slatewright ledger``: a quote, or open against closed circuit, on screen or as JSON."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from slatewright.cli import environment, files
from slatewright.cli.judging import working
from slatewright.cli.reporting import refusals, say
from slatewright.errors import InputError, PlanFileError

if TYPE_CHECKING:
    from slatewright.dive.house_rules import HouseRules
    from slatewright.ledger.quote import Quote


_MOST_DEAR: Final = 100
SHEET: Final = files.Kind("--pdf", ".pdf", b"%PDF")
"""The quote on paper."""


@dataclass(frozen=True, slots=True)
class Asked:
    """How the ledger is asked.

    Parameters
    ----------
    as_json
        True for the document instead of text.
    futures
        How many futures to simulate for a comparison.
    pdf
        Where to write the quote; None for nowhere.
    helium
        What today's price of helium is multiplied by, as typed.
    students
        How many students come; None for as many as the quote file says.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """

    as_json: bool
    futures: int
    pdf: Path | None
    helium: str
    students: int | None
    house: Path | None

    @property
    def factor(self) -> Decimal:
        """What today's price of helium is multiplied by."""
        try:
            factor = Decimal(self.helium)
        except InvalidOperation:
            factor = Decimal("NaN")
        if not factor.is_finite() or not 0 <= factor <= _MOST_DEAR:
            raise InputError(
                f"'{self.helium}' is no factor", where="--helium", right=f"0 to {_MOST_DEAR}"
            )
        return factor


def run_ledger(file: Path, asked: Asked) -> None:
    """Price what a file asks for, and print it.

    Parameters
    ----------
    file
        A quote file or a file of ways; its first line says which.
    asked
        How.
    """
    with refusals(str(file)):
        files.check_plan(file)
        if asked.pdf is not None:
            files.check_target(asked.pdf, SHEET)
        environment.prefer_interpreter()
        from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - as fill does
        from slatewright.ledger import quotefile, waysfile  # noqa: PLC0415 - as above
        from slatewright.toml.faults import read_toml  # noqa: PLC0415 - as above

        rules = read_house_rules(environment.house_rules_path(asked.house))
        schema = read_toml(file)[1].get("schema")
        if schema == waysfile.SCHEMA:
            if asked.pdf is not None:
                raise InputError(
                    "a comparison has no quote to print", where="--pdf", right="a quote file"
                )
            if asked.students is not None:
                raise InputError(
                    "a comparison has no students", where="--students", right="a quote file"
                )
            _compare(file, rules, asked)
        elif schema == quotefile.SCHEMA:
            _quote(file, rules, asked)
        else:
            raise PlanFileError(
                "is neither a quote nor a comparison",
                where="schema",
                right=f'schema = "{quotefile.SCHEMA}" or schema = "{waysfile.SCHEMA}"',
                path=file,
                line=1,
            )


def _quote(file: Path, rules: HouseRules, asked: Asked) -> None:
    from slatewright.ledger.document import quote_document  # noqa: PLC0415 - as above
    from slatewright.ledger.quotefile import quote_of  # noqa: PLC0415 - as above

    with working("Pricing"):
        quote = quote_of(file, rules, helium=asked.factor, students=asked.students)
    wrote = "" if asked.pdf is None else _printed(quote, asked.pdf)
    if asked.as_json:
        _write(quote_document(quote))
        if wrote:
            say(wrote)
        return
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.ledger_view import show_quote  # noqa: PLC0415 - as above

    show_quote(make_console(), quote)
    if wrote:
        sys.stdout.write(f"\n{wrote}\n")


def _printed(quote: Quote, pdf: Path) -> str:
    from slatewright.paper.quote_sheet import quote_pdf  # noqa: PLC0415 - as above

    with working("Printing the quote"):
        content = quote_pdf(quote)
    files.write_whole(pdf, content, f"{SHEET.option} {pdf}")
    return f"The quote is in {pdf}."


def _compare(file: Path, rules: HouseRules, asked: Asked) -> None:
    from slatewright.ledger.document import comparison_document  # noqa: PLC0415 - as above
    from slatewright.ledger.sensitivity import otherwise  # noqa: PLC0415 - as above
    from slatewright.ledger.verdict import compare  # noqa: PLC0415 - as above
    from slatewright.ledger.waysfile import read_ways  # noqa: PLC0415 - as above

    with working("Pricing"):
        ways = otherwise(read_ways(file, rules), helium=asked.factor)
    with working("Looking into the future"):
        done = compare(ways, asked.futures)
    if asked.as_json:
        _write(comparison_document(done))
        return
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.ledger_view import show_comparison  # noqa: PLC0415 - as above

    show_comparison(make_console(), done)


def _write(document: dict[str, Any]) -> None:
    sys.stdout.write(f"{json.dumps(document, indent=2, allow_nan=False)}\n")
