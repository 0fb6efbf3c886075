"""``slatewright mixups``: the wrong cylinder at each moment of a dive."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from slatewright.cli import environment
from slatewright.cli.judging import mixups_of
from slatewright.cli.reporting import refusals


def run_mixups(plan: Path, *, as_json: bool, house: Path | None) -> None:
    """Print what comes of each cylinder in the place of each other.

    Parameters
    ----------
    plan
        The plan file.
    as_json
        True for the document instead of the text.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals(str(plan)):
        dive, found = mixups_of(plan, environment.house_rules_path(house))
        if as_json:
            sys.stdout.write(f"{json.dumps(found.document(), indent=2, allow_nan=False)}\n")
            return
        from slatewright.cli.console import make_console  # noqa: PLC0415 - start-up is budgeted
        from slatewright.cli.mixups_view import show_mixups  # noqa: PLC0415 - as above

        show_mixups(make_console(), dive, found)
