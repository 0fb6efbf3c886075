"""``slatewright dive``: from a plan file to a schedule on screen, slate and chart."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from slatewright.cli import environment, files
from slatewright.cli.reporting import refusals, say

if TYPE_CHECKING:
    from slatewright.dive.house_rules import HouseRules
    from slatewright.dive.schedule import Schedule

FIRST_RUN = "First run: compiling the decompression kernel, about ten seconds, once."


def run_dive(
    plan: Path, *, as_json: bool, slate: Path | None, chart: Path | None, house: Path | None
) -> None:
    """Compute a dive, write what was asked for, and print it.

    Parameters
    ----------
    plan
        The plan file.
    as_json
        True for the document instead of the table.
    slate, chart
        Where to write the PDF and the SVG; None for neither.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals(str(plan)):
        files.check_plan(plan)
        for target, kind in ((slate, files.SLATE), (chart, files.CHART)):
            if target is not None:
                files.check_target(target, kind)
        rules_path = environment.house_rules_path(house)
        dives = _computed(plan, rules_path)
        wrote = list(_written(dives[-1], slate, chart))
        if as_json:
            from slatewright.dive.document import document  # noqa: PLC0415 - start-up is budgeted

            text = json.dumps(document(dives[-1]), indent=2, allow_nan=False)
            sys.stdout.write(f"{text}\n")
        else:
            _show(dives, rules_path)
        if as_json:
            for line in wrote:
                say(line)
        elif wrote:
            sys.stdout.write("\n".join(["", *wrote, ""]))


def _computed(plan: Path, rules_path: Path | None) -> tuple[Schedule, ...]:
    """Compute the chain, and refuse if any of its dives failed the second check."""
    from slatewright.decompression.readiness import must_compile  # noqa: PLC0415 - as above
    from slatewright.dive.chain import schedules_of  # noqa: PLC0415 - as above
    from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - as above

    rules: HouseRules = read_house_rules(rules_path)
    if must_compile():
        say(FIRST_RUN)
    dives = schedules_of(plan, rules)
    for dive in dives:
        _refuse_failed(dive)
    return dives


def _refuse_failed(dive: Schedule) -> None:
    from slatewright.errors import CheckFailed, Reason  # noqa: PLC0415 - as above

    if not dive.verdict.passed:
        findings = dive.verdict.findings or ("the second check did not pass",)
        raise CheckFailed(
            *(Reason(f"{dive.plan.title}: {finding}") for finding in findings[:-1]),
            Reason(f"{dive.plan.title}: {findings[-1]}", "none for the diver; report this plan"),
        )


def _written(dive: Schedule, slate: Path | None, chart: Path | None) -> Iterator[str]:
    """Write what was asked for, all drawn before anything is written; yield what was written."""
    drawn: list[tuple[str, Path, files.Kind, bytes]] = []
    if slate is not None:
        from slatewright.paper.slate import slate_pdf  # noqa: PLC0415 - as above

        with _working("Printing the slate"):
            drawn.append(("slate", slate, files.SLATE, slate_pdf(dive)))
    if chart is not None:
        from slatewright.paper.profile_chart import profile_svg  # noqa: PLC0415 - as above

        with _working("Drawing the profile"):
            drawn.append(("profile", chart, files.CHART, profile_svg(dive).encode("utf-8")))
    for name, path, kind, content in drawn:
        files.write_whole(path, content, f"{kind.option} {path}")
        yield f"The {name} is in {path}."


def _show(dives: tuple[Schedule, ...], rules_path: Path | None) -> None:
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.dive_view import show_dive  # noqa: PLC0415 - as above

    rules_from = "as shipped" if rules_path is None else f"from {rules_path}"
    show_dive(make_console(), dives[-1], earlier=len(dives) - 1, rules_from=rules_from)


@contextmanager
def _working(what: str) -> Iterator[None]:
    """Show on a terminal that something takes its time."""
    from rich.console import Console  # noqa: PLC0415 - as above

    with Console(stderr=True).status(f"{what} ..."):
        yield
