"""``slatewright wayhome``: from every minute of a dive, whatever fails."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from slatewright.cli import environment, files
from slatewright.cli.judging import judged_answer, refuse, working
from slatewright.cli.reporting import refusals, say


def run_wayhome(plan: Path, *, as_json: bool, chart: Path | None, house: Path | None) -> None:
    """Judge the way home of a dive, print it, and draw it.

    Parameters
    ----------
    plan
        The plan file.
    as_json
        True for the document instead of the table.
    chart
        Where to write the SVG; None for none.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals(str(plan)):
        if chart is not None:
            files.check_target(chart, files.CHART)
        judged = judged_answer(plan, environment.house_rules_path(house))
        wrote = ""
        if chart is not None:
            from slatewright.paper.wayhome_chart import wayhome_svg  # noqa: PLC0415 - takes its time

            with working("Drawing the way home"):
                svg = wayhome_svg(judged.grid).encode("utf-8")
            files.write_whole(chart, svg, f"{files.CHART.option} {chart}")
            wrote = f"The chart is in {chart}."
        if as_json:
            from slatewright.supply.wayhome import as_document  # noqa: PLC0415 - as above

            told = as_document(judged.grid)
            sys.stdout.write(f"{json.dumps(told, indent=2, allow_nan=False)}\n")
            if wrote:
                say(wrote)
        else:
            from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
            from slatewright.cli.wayhome_view import show_wayhome  # noqa: PLC0415 - as above

            show_wayhome(make_console(), judged)
            if wrote:
                sys.stdout.write(f"\n{wrote}\n")
        if judged.refusal is not None:
            refuse(plan, judged.refusal)
