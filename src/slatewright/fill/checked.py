"""The analyses of a fill file: which cylinders may be used, and what the plan becomes with them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Final

from slatewright.dive.plan import Use
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill.analysis import Analysis, Judgement, judge
from slatewright.fill.replan import Difference, Recomputed, recomputed
from slatewright.fill.session import Session
from slatewright.physics.mixture import Mixture
from slatewright.supply.kit import Team

_MOST_WAYS: Final = 16
TEAM: Final = "the team"
"""Who breathes from a cylinder that has no owner."""


@dataclass(frozen=True)
class CheckedCylinder:
    """A cylinder that was analysed.

    Parameters
    ----------
    label
        The cylinder.
    owner
        Whose it is; empty if the file does not say.
    use
        What its gas is breathed for; None if the file does not say.
    planned
        The mix that was planned.
    analysis
        What was read.
    judgement
        What follows from it; None if nothing does.
    refusal
        Why nothing does: helium not analysed, a test that has run out.
    """

    label: str
    owner: str
    use: Use | None
    planned: Mixture
    analysis: Analysis
    judgement: Judgement | None
    refusal: NoSafeAnswer | None = None

    @property
    def accepted(self) -> bool:
        """Whether it may be used for what was planned."""
        return self.judgement is not None and self.judgement.accepted

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Why it may not; empty if it may."""
        if self.judgement is None:
            return () if self.refusal is None else self.refusal.reasons
        return tuple(Reason(text) for text in self.judgement.reasons)


@dataclass(frozen=True)
class Replan:
    """The dive of the plan with what is in somebody's cylinders.

    Parameters
    ----------
    who
        Whose cylinders.
    analysed
        Planned mix to the mix as analysed; gases that were not analysed are left as planned.
    outcome
        The dive as planned and as it becomes.
    gas_changes
        What differs in turns, reserves and the way home; empty too where they were not looked at.
    gas_refused
        Why the gas cannot be judged with what was analysed; empty if it can.
    """

    who: tuple[str, ...]
    analysed: Mapping[Mixture, Mixture]
    outcome: Recomputed
    gas_changes: tuple[Difference, ...] = ()
    gas_refused: tuple[Reason, ...] = ()

    @property
    def refused(self) -> tuple[Reason, ...]:
        """Why the dive cannot be made with what was analysed; empty if it can."""
        return (*self.outcome.refused, *self.gas_refused)


@dataclass(frozen=True)
class Checked:
    """What the analyses of a fill file come to.

    Parameters
    ----------
    session
        The fills.
    cylinders
        Those that were analysed, in the order of the file.
    missing
        Labels of the cylinders that are filled and were not analysed.
    no_gas_of_the_plan
        Labels of the accepted cylinders whose mix the plan does not carry.
    replans
        The dive with what was analysed; empty without a plan or without anything accepted.
    gas_judged
        Whether turns, reserves and the way home were looked at.
    """

    session: Session
    cylinders: tuple[CheckedCylinder, ...]
    missing: tuple[str, ...]
    no_gas_of_the_plan: tuple[str, ...] = ()
    replans: tuple[Replan, ...] = field(default=())
    gas_judged: bool = False

    @property
    def fit(self) -> bool:
        """Whether every cylinder was analysed and accepted, and every dive can be made on them."""
        return (
            not self.missing
            and all(one.accepted for one in self.cylinders)
            and not any(replan.refused for replan in self.replans)
        )


def check_analyses(session: Session) -> Checked:
    """Judge each analysis of a fill file.

    Parameters
    ----------
    session
        The fills of the file; a fix is mixed from what its banks hold after them.

    Returns
    -------
    Checked
        Without the plan: see `with_plan`.

    Raises
    ------
    InputError
        If a cylinder stands above its working pressure.
    """
    file, room = session.file, session.room
    jobs = {job.receiver.label: job for job in file.jobs(room)}
    uses = {table.cylinder: table.use for table in file.fill}
    found = []
    for analysis in file.analyses():
        job = jobs[analysis.label]
        judgement, refusal = None, None
        try:
            judgement = judge(analysis, job.mix, job.receiver, job.gauge_bar, room)
        except NoSafeAnswer as error:
            refusal = error
        label = analysis.label
        found.append(
            CheckedCylinder(
                label, file.owner(label), uses[label], job.mix, analysis, judgement, refusal
            )
        )
    analysed = {one.label for one in found}
    missing = tuple(label for label in jobs if label not in analysed)
    return Checked(session, tuple(found), missing)


Judge = Callable[[Schedule, Team], object]


def with_plan(checked: Checked, dive: Schedule, team: Team | None) -> Checked:
    """Compute the dive of a plan again with what was analysed and accepted.

    Each diver's cylinders make a dive of their own, and the team is taken to breathe alike in it;
    cylinders without an owner are everybody's.

    Parameters
    ----------
    checked
        The analyses.
    dive
        The dive as planned.
    team
        Who makes it, with which cylinders; None to leave turns, reserves and the way home alone.

    Returns
    -------
    Checked
        The same with the dives.

    Raises
    ------
    InputError
        If the dive is on a closed circuit, two gases of the plan were analysed as the same, or
        there are too many ways in which cylinders of one mix could be breathed.
    NoSafeAnswer
        If the gas of the dive as planned cannot be judged.
    CheckFailed
        If the second check contradicts a schedule.
    """
    if dive.plan.loop is not None:
        raise _on_a_loop(dive.plan.title)
    carried = {gas.mix for gas in dive.plan.gases}
    accepted = [one for one in checked.cylinders if one.accepted]
    usable = [one for one in accepted if one.planned in carried]
    outside = tuple(one.label for one in accepted if one.planned not in carried)
    before = None
    if team is not None and usable:
        from slatewright.fill.replan_team import judged_gas  # noqa: PLC0415 - takes its time

        before = judged_gas(dive, team)
    replans = []
    for who, analysed in _dives(usable):
        outcome = recomputed(dive.plan, analysed, dive)
        replan = Replan(who, analysed, outcome)
        if team is not None and before is not None and outcome.after is not None:
            replan = _with_gas(replan, before, outcome.after, team, usable)
        replans.append(replan)
    return Checked(
        checked.session,
        checked.cylinders,
        checked.missing,
        outside,
        tuple(replans),
        gas_judged=before is not None,
    )


def _on_a_loop(title: str) -> InputError:
    return InputError(
        f"'{title}' is a dive on a closed circuit: with what was analysed neither its schedule nor "
        "its loop gas, absorbent and bailout are computed again yet",
        where="plan",
        right="the analyses without the plan: each cylinder is then judged by itself; write a mix "
        "that came out otherwise into [loop], [[gas]] and [[cylinder]] of the plan, and compute "
        "the dive again (`slatewright dive`, or the bench)",
    )


def _with_gas(
    replan: Replan,
    before: object,
    after: Schedule,
    team: Team,
    usable: Sequence[CheckedCylinder],
) -> Replan:
    from slatewright.fill.replan_team import (  # noqa: PLC0415 - as above
        JudgedGas,
        gas_differences,
        judged_gas,
        team_with,
    )

    if not isinstance(before, JudgedGas):
        raise TypeError("what is compared with is the gas as planned")
    owners: dict[tuple[str, Mixture], list[Analysis]] = {}
    for one in usable:
        owners.setdefault((one.owner, one.planned), []).append(one.analysis)
    read = {key: analyses[0] for key, analyses in owners.items() if len(analyses) == 1}
    try:
        gas = judged_gas(after, team_with(team, replan.analysed, read))
    except NoSafeAnswer as error:
        return Replan(replan.who, replan.analysed, replan.outcome, gas_refused=error.reasons)
    changes = tuple(gas_differences(before, gas, replan.analysed))
    return Replan(replan.who, replan.analysed, replan.outcome, changes)


def _dives(
    usable: Sequence[CheckedCylinder],
) -> Iterator[tuple[tuple[str, ...], dict[Mixture, Mixture]]]:
    """Yield who breathes what: each owner with every choice among cylinders of the same mix."""
    owners = list(dict.fromkeys(one.owner for one in usable if one.owner)) or [""]
    found: dict[tuple[tuple[Mixture, Mixture], ...], list[str]] = {}
    for owner in owners:
        mine: dict[Mixture, list[Mixture]] = {}
        for one in usable:
            if one.owner in {owner, ""}:
                read = mine.setdefault(one.planned, [])
                if one.analysis.mix not in read:
                    read.append(one.analysis.mix)
        ways = 1
        for mixes in mine.values():
            ways *= len(mixes)
        if ways > _MOST_WAYS:
            raise InputError(
                f"cylinders of one mix that read differently make {ways} dives of one plan",
                where="analysis",
                right="an owner for each cylinder, or one fill file a diver",
            )
        for choice in product(*mine.values()):
            key = tuple(zip(mine, choice, strict=True))
            found.setdefault(key, []).append(owner or TEAM)
    for pairs, who in found.items():
        if pairs:
            yield tuple(dict.fromkeys(who)), dict(pairs)
