"""``slatewright ledger``: a quote, or open against closed circuit, on screen or as JSON."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slatewright.cli import environment, files
from slatewright.cli.judging import working
from slatewright.cli.reporting import refusals

if TYPE_CHECKING:
    from slatewright.dive.house_rules import HouseRules


def run_ledger(file: Path, *, as_json: bool, futures: int, house: Path | None) -> None:
    """Price what a file asks for, and print it.

    Parameters
    ----------
    file
        A quote file or a file of ways; its first line says which.
    as_json
        True for the document instead of text.
    futures
        How many futures to simulate for a comparison.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals(str(file)):
        files.check_plan(file)
        environment.prefer_interpreter()
        from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - as fill does
        from slatewright.ledger import quotefile, waysfile  # noqa: PLC0415 - as above
        from slatewright.toml.faults import read_toml  # noqa: PLC0415 - as above

        rules = read_house_rules(environment.house_rules_path(house))
        schema = read_toml(file)[1].get("schema")
        if schema == waysfile.SCHEMA:
            _compare(file, rules, futures, as_json=as_json)
        elif schema == quotefile.SCHEMA:
            _quote(file, rules, as_json=as_json)
        else:
            from slatewright.errors import PlanFileError  # noqa: PLC0415 - as above

            raise PlanFileError(
                "is neither a quote nor a comparison",
                where="schema",
                right=f'schema = "{quotefile.SCHEMA}" or schema = "{waysfile.SCHEMA}"',
                path=file,
                line=1,
            )


def _quote(file: Path, rules: HouseRules, *, as_json: bool) -> None:
    from slatewright.ledger.document import quote_document  # noqa: PLC0415 - as above
    from slatewright.ledger.quotefile import quote_of  # noqa: PLC0415 - as above

    with working("Pricing"):
        quote = quote_of(file, rules)
    if as_json:
        _write(quote_document(quote))
        return
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.ledger_view import show_quote  # noqa: PLC0415 - as above

    show_quote(make_console(), quote)


def _compare(file: Path, rules: HouseRules, futures: int, *, as_json: bool) -> None:
    from slatewright.ledger.document import comparison_document  # noqa: PLC0415 - as above
    from slatewright.ledger.verdict import compare  # noqa: PLC0415 - as above
    from slatewright.ledger.waysfile import read_ways  # noqa: PLC0415 - as above

    with working("Pricing"):
        ways = read_ways(file, rules)
    with working("Looking into the future"):
        done = compare(ways, futures)
    if as_json:
        _write(comparison_document(done))
        return
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.ledger_view import show_comparison  # noqa: PLC0415 - as above

    show_comparison(make_console(), done)


def _write(document: dict[str, Any]) -> None:
    sys.stdout.write(f"{json.dumps(document, indent=2, allow_nan=False)}\n")
