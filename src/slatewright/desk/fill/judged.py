"""The dive of the plan with what was analysed, as the page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.desk.fill.analysed import Dived
from slatewright.desk.fill.verdict import depth_shown
from slatewright.desk.workings import Shown
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.checked import Replan
from slatewright.fill.labelling import label_of
from slatewright.fill.replan import Difference
from slatewright.paper.theme import mixture_name


@dataclass(frozen=True, slots=True)
class LabelSeen:
    """What stands on the label of a cylinder.

    Parameters
    ----------
    name
        The cylinder.
    planned, analysed
        The mix that was planned, and as it was analysed.
    depth
        The depth to which it may be breathed; None if at none.
    limit
        At which ppO2 that is, or why at none.
    not_above
        From which depth down it may be breathed, with its unit; empty if it may anywhere.
    """

    name: str
    planned: str
    analysed: str
    depth: Shown | None
    limit: str
    not_above: str


@dataclass(frozen=True, slots=True)
class ChangeSeen:
    """Something that is other than planned.

    Parameters
    ----------
    what
        What it is.
    before, after
        What it was and is; empty where it is new or gone.
    worse
        Whether it asks more or allows less.
    """

    what: str
    before: str
    after: str
    worse: bool


@dataclass(frozen=True, slots=True)
class DiveSeen:
    """The dive with somebody's cylinders.

    Parameters
    ----------
    who
        Whose.
    gases
        What each planned gas is.
    reasons
        Why there is no dive; empty if there is one.
    changes
        What is other than planned.
    """

    who: str
    gases: str
    reasons: tuple[Reason, ...]
    changes: tuple[ChangeSeen, ...]


@dataclass(frozen=True, slots=True)
class JudgedSeen:
    """The analyses with the plan.

    Parameters
    ----------
    title
        The title of the plan.
    path
        The path of the file's page.
    fit
        Whether everything is fit to dive.
    missing
        Cylinders that were not analysed.
    labels
        Of the accepted cylinders.
    outside
        Accepted cylinders whose gas the plan does not carry.
    dives
        One for each way in which the cylinders can be breathed.
    gas_judged
        Whether turns, reserves and the way home were looked at.
    reasons
        Why nothing was computed; empty if it was.
    """

    title: str
    path: str
    fit: bool
    missing: tuple[str, ...]
    labels: tuple[LabelSeen, ...]
    outside: tuple[str, ...]
    dives: tuple[DiveSeen, ...]
    gas_judged: bool
    reasons: tuple[Reason, ...] = ()


def judged_seen(dived: Dived, rules: HouseRules, path: str) -> JudgedSeen:
    """Return the dive with what was analysed.

    Parameters
    ----------
    dived
        The analyses with the plan.
    rules
        The house rules.
    path
        The path of the file's page.
    """
    checked, plan = dived.checked, dived.plan
    labels = []
    for one in checked.cylinders:
        if not one.accepted:
            continue
        names = (one.label, mixture_name(one.planned), str(one.analysis.mix))
        try:
            told = label_of(one, checked.session.file, rules, plan)
        except NoSafeAnswer as refusal:
            why = "; ".join(reason.what for reason in refusal.reasons)
            labels.append(LabelSeen(*names, None, why, ""))
        else:
            labels.append(LabelSeen(*names, depth_shown(told), told.limit, told.not_above))
    return JudgedSeen(
        title=plan.title,
        path=path,
        fit=checked.fit,
        missing=checked.missing,
        labels=tuple(labels),
        outside=checked.no_gas_of_the_plan,
        dives=tuple(_dive(replan) for replan in checked.replans),
        gas_judged=checked.gas_judged,
    )


def not_judged(title: str, path: str, reasons: tuple[Reason, ...]) -> JudgedSeen:
    """Return why nothing was computed.

    Parameters
    ----------
    title
        The title of the plan.
    path
        The path of the file's page.
    reasons
        Why.
    """
    return JudgedSeen(title, path, False, (), (), (), (), gas_judged=False, reasons=reasons)


def _dive(replan: Replan) -> DiveSeen:
    changes = (*replan.outcome.changes, *replan.gas_changes)
    return DiveSeen(
        who=" and ".join(replan.who),
        gases=", ".join(f"{planned} is {mix}" for planned, mix in replan.analysed.items()),
        reasons=replan.refused,
        changes=tuple(_change(one) for one in changes),
    )


def _change(one: Difference) -> ChangeSeen:
    names = {"operating depth": "no deeper than", "hypoxic floor": "not above"}
    what = names.get(one.what, one.what)
    if one.what != "hazard" and one.where:
        what = f"{what}, {one.where}"
    return ChangeSeen(what, one.before, one.after, one.worse)
