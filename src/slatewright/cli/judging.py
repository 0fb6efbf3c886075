"""From a plan file to a judged dive, for all commands that judge one; and its refusal."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from slatewright.cli import environment, files
from slatewright.cli.reporting import refusals, say
from slatewright.errors import CheckFailed, InputError, NoSafeAnswer, Reason

if TYPE_CHECKING:
    from slatewright.dive.schedule import Schedule
    from slatewright.supply.judged import Judged, WithWayHome
    from slatewright.supply.loop_supply import LoopSupply
    from slatewright.supply.mixups import MixUps
    from slatewright.supply.reading import Planned

FIRST_RUN = "First run: compiling the decompression kernel, ten to twenty seconds, once."


@dataclass(frozen=True)
class Answer:
    """What a plan file came to.

    Parameters
    ----------
    dive
        Its dive; if the gas was judged, with the hazards of the gas.
    earlier
        The number of dives whose load it carries.
    judged
        The same with its gas; None for a plan without cylinders, and on a closed circuit.
    loop
        The same on a closed circuit; None on open circuit, and for a plan without cylinders.
    """

    dive: Schedule
    earlier: int
    judged: Judged | None
    loop: LoopSupply | None = None

    @property
    def refusal(self) -> NoSafeAnswer | None:
        """Why nobody may dive this, if the gas was judged; None if there is no reason."""
        found = self.loop or self.judged
        return found.refusal if found else None


def answer_to(plan: Path, rules_path: Path | None) -> Answer:
    """Compute the dive of a plan file, and judge its gas if it names cylinders.

    Parameters
    ----------
    plan
        The file.
    rules_path
        House rules; None for those as shipped.

    Raises
    ------
    InputError
        If a file has faults.
    NoSafeAnswer
        If there is no safe way to dive it.
    CheckFailed
        If the second check contradicts a schedule of the chain.
    """
    found = _planned(plan, rules_path)
    earlier = len(found.dives) - 1
    if found.team is None:
        return Answer(found.dive, earlier, None)
    if found.dive.plan.loop is not None:
        from slatewright.supply.loop_supply import loop_supply  # noqa: PLC0415 - as below

        with working("Looking for the way home"):
            loop = loop_supply(found.dive, found.team)
        return Answer(loop.schedule, earlier, None, loop)
    from slatewright.supply.judged import judge  # noqa: PLC0415 - start-up is budgeted

    with working("Looking for the way home"):
        judged = judge(found.dive, found.team)
    return Answer(judged.schedule, earlier, judged)


def _planned(plan: Path, rules_path: Path | None) -> Planned:
    """Compute the chain of a plan, and refuse if any of its dives failed the second check."""
    files.check_plan(plan)
    if not environment.names_cylinders(plan):
        environment.prefer_interpreter()
    from slatewright.decompression.readiness import must_compile  # noqa: PLC0415 - after the choice
    from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - start-up is budgeted
    from slatewright.supply.reading import planned  # noqa: PLC0415 - as above

    rules = read_house_rules(rules_path)
    if must_compile():
        say(FIRST_RUN)
    found = planned(plan, rules)
    for dive in found.dives:
        _refuse_failed(dive)
    return found


def judged_answer(plan: Path, rules_path: Path | None) -> WithWayHome:
    """Compute and judge a dive whose plan must name cylinders.

    Parameters
    ----------
    plan, rules_path
        As for `answer_to`.

    Raises
    ------
    InputError
        If it names none, and as `answer_to`.
    """
    answer = answer_to(plan, rules_path)
    found = answer.judged or answer.loop
    if found is None:
        raise _no_cylinders(plan)
    return found


def mixups_of(plan: Path, rules_path: Path | None) -> tuple[Schedule, MixUps]:
    """Compute a dive whose plan must name cylinders, and look for its mix-ups alone.

    Parameters
    ----------
    plan, rules_path
        As for `answer_to`.

    Raises
    ------
    InputError
        If it names none, and as `answer_to`.
    """
    found = _planned(plan, rules_path)
    if found.team is None:
        raise _no_cylinders(plan)
    if found.dive.plan.loop is not None:
        raise _on_a_loop(plan)
    from slatewright.supply.mixups import mixups  # noqa: PLC0415 - start-up is budgeted

    return found.dive, mixups(found.dive, found.team)


def _no_cylinders(plan: Path) -> InputError:
    return InputError(
        "names no cylinders, so nothing is known of its gas",
        where=str(plan),
        right="a [[cylinder]] for each gas, as in docs/plan-file.md",
    )


def _on_a_loop(plan: Path) -> InputError:
    return InputError(
        "is a dive on a closed circuit, for which this is not known yet",
        where=str(plan),
        right="a dive on open circuit; `slatewright wayhome` looks for the way home from a loop",
    )


def _refuse_failed(dive: Schedule) -> None:
    if not dive.verdict.passed:
        findings = dive.verdict.findings or ("the second check did not pass",)
        raise CheckFailed(
            *(Reason(f"{dive.plan.title}: {finding}") for finding in findings[:-1]),
            Reason(f"{dive.plan.title}: {findings[-1]}", "none for the diver; report this plan"),
        )


def refuse(plan: Path, refusal: NoSafeAnswer, also: str = "") -> None:
    """Say that a dive has no way home, after all that was printed, and end with exit code 3.

    Parameters
    ----------
    plan
        The file.
    refusal
        The reasons.
    also
        What else is to be said, a sentence.
    """
    sys.stdout.flush()
    try:
        with refusals(str(plan), refused="no way home"):
            raise refusal
    finally:
        if also:
            say(also)


@contextmanager
def working(what: str) -> Iterator[None]:
    """Show on a terminal that something takes its time.

    Parameters
    ----------
    what
        What is being done.
    """
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console  # noqa: PLC0415 - start-up is budgeted

    with Console(stderr=True).status(f"{what} ..."):
        yield
