"""``slatewright analyse``: what the analyser said, which cylinders may be used, the plan again."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from slatewright.cli import environment, files
from slatewright.cli.judging import FIRST_RUN, working
from slatewright.cli.reporting import refusals, say
from slatewright.errors import InputError, NoSafeAnswer, Reason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from slatewright.dive.house_rules import HouseRules
    from slatewright.fill.checked import Checked
    from slatewright.fill.session import Session
    from slatewright.supply.reading import Planned

LABELS: Final = files.Kind("--labels", ".pdf", b"%PDF")
"""Labels for the cylinders that were analysed."""


def run_analyse(
    file: Path, *, as_json: bool, labels: Path | None, plan: Path | None, house: Path | None
) -> None:
    """Judge the analyses of a fill file, compute the plan again, and print what came of it.

    Parameters
    ----------
    file
        The fill file.
    as_json
        True for the document instead of text.
    labels
        Where to write the labels; None for none.
    plan
        The plan file; None for the one that the fill file names.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals(str(file)):
        files.check_plan(file)
        if labels is not None:
            files.check_target(labels, LABELS)
        from slatewright.fill.fillfile import read_fill_file  # noqa: PLC0415 - start-up is budgeted

        asked = read_fill_file(file)
        need_analyses(file, count=len(asked.analysis))
        path = plan or _named(file, asked.plan)
        found, rules = planned_dive(path, environment.house_rules_path(house))
        from slatewright.fill.checked import check_analyses, with_plan  # noqa: PLC0415 - as above
        from slatewright.fill.session import do_fill_file  # noqa: PLC0415 - as above

        checked = check_analyses(do_fill_file(file))
        if found is not None:
            with working("Computing the dive with what was analysed"):
                checked = with_plan(checked, found.dive, found.team)
        wrote = "" if labels is None else written_labels(checked, found, rules, labels)
        _show(checked, found, rules, as_json=as_json, wrote=wrote)
    if not checked.fit:
        with refusals(str(file), refused="not everything is fit to dive"):
            raise NoSafeAnswer(*_reasons(checked))


def need_analyses(file: Path, *, count: int) -> None:
    """Refuse a file in which nothing was analysed.

    Parameters
    ----------
    file
        The fill file.
    count
        How many analyses it has.

    Raises
    ------
    InputError
        If it has none.
    """
    if not count:
        raise InputError(
            "nothing in it was analysed",
            where=str(file),
            right="[[analysis]] with cylinder, o2_percent, he_percent, by, at and its pressure",
        )


def _named(file: Path, plan: str | None) -> Path | None:
    return None if plan is None else file.parent / plan


def planned_dive(path: Path | None, rules_path: Path | None) -> tuple[Planned | None, HouseRules]:
    """Compute the dive that the fills are for.

    Parameters
    ----------
    path
        The plan file; None if there is none.
    rules_path
        House rules; None for those as shipped.

    Returns
    -------
    tuple
        The dive with its team, None without a plan, and the house rules.

    Raises
    ------
    InputError
        If a file has faults.
    NoSafeAnswer
        If there is no safe way to dive the plan.
    CheckFailed
        If the second check contradicts a dive of the chain.
    """
    if path is None or not environment.names_cylinders(path):
        environment.prefer_interpreter()
    from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - after the choice

    rules = read_house_rules(rules_path)
    if path is None:
        return None, rules
    from slatewright.decompression.readiness import must_compile  # noqa: PLC0415 - as above
    from slatewright.fill.replan import need_checked  # noqa: PLC0415 - as above
    from slatewright.supply.reading import planned  # noqa: PLC0415 - as above

    files.check_plan(path)
    if must_compile():
        say(FIRST_RUN)
    found = planned(path, rules)
    for dive in found.dives:
        need_checked(dive)
    return found, rules


def written_labels(checked: Checked, found: Planned | None, rules: HouseRules, labels: Path) -> str:
    """Write the labels of the cylinders that were analysed, and say what was written.

    Parameters
    ----------
    checked
        The analyses.
    found
        The dive; None without a plan.
    rules
        The house rules.
    labels
        Where to.

    Raises
    ------
    NoSafeAnswer
        If a gas may be breathed at no depth.
    InputError
        If the file cannot be written.
    """
    from slatewright.fill.labelling import label_of  # noqa: PLC0415 - start-up is budgeted
    from slatewright.paper.labels import LabelSheet, labels_pdf  # noqa: PLC0415 - as above

    plan = None if found is None else found.dive.plan
    file = checked.session.file
    sheet = LabelSheet(
        [label_of(one, file, rules, plan) for one in checked.cylinders if one.accepted],
        [one for one in checked.cylinders if not one.accepted],
        plan,
    )
    with working("Printing the labels"):
        content = labels_pdf(sheet)
    files.write_whole(labels, content, f"{LABELS.option} {labels}")
    missing = ", ".join(checked.missing)
    return f"The labels are in {labels}." + (f" Not analysed, no label: {missing}." * bool(missing))


def labels_of_session(session: Session, file: Path, labels: Path, house: Path | None) -> str:
    """Write the labels of a fill file, with the limits of the plan that it names.

    Parameters
    ----------
    session
        The fills.
    file
        The fill file.
    labels
        Where to.
    house
        A file of house rules; None for the person's own, or those as shipped.

    Returns
    -------
    str
        What was written.

    Raises
    ------
    InputError
        If nothing was analysed.
    """
    from slatewright.fill.checked import check_analyses  # noqa: PLC0415 - start-up is budgeted

    need_analyses(file, count=len(session.file.analysis))
    path = _named(file, session.file.plan)
    found, rules = planned_dive(path, environment.house_rules_path(house))
    return written_labels(check_analyses(session), found, rules, labels)


def _show(
    checked: Checked, found: Planned | None, rules: HouseRules, *, as_json: bool, wrote: str
) -> None:
    if as_json:
        from slatewright.fill.document import checked_document  # noqa: PLC0415 - as above

        told = checked_document(checked)
        sys.stdout.write(f"{json.dumps(told, indent=2, allow_nan=False)}\n")
        if wrote:
            say(wrote)
        return
    from slatewright.cli.analyse_view import show_checked  # noqa: PLC0415 - as above
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above

    show_checked(make_console(), checked, None if found is None else found.dive.plan, rules)
    if wrote:
        sys.stdout.write(f"\n{wrote}\n")


def _reasons(checked: Checked) -> Iterator[Reason]:
    for one in checked.cylinders:
        yield from one.reasons
    for label in checked.missing:
        yield Reason(f"{label}: is not analysed", "analyse both gases before it is breathed")
    for replan in checked.replans:
        gases = ", ".join(f"{mix} for {planned}" for planned, mix in replan.analysed.items())
        for reason in replan.refused:
            yield Reason(f"{' and '.join(replan.who)}, with {gases}: {reason.what}", reason.cure)
