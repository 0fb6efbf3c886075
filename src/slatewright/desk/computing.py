"""From plans in the store to computed dives; what did not change is not computed again."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from slatewright.dive.chain import carried_after
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.planfile import PlanFile, interval_min
from slatewright.dive.schedule import Schedule, schedule
from slatewright.errors import CheckFailed, InputError, NoSafeAnswer, PlanFileError, Reason
from slatewright.store.plan_order import plan_chain
from slatewright.store.plan_records import SavedPlan
from slatewright.store.session import Session
from slatewright.supply.kit import Team
from slatewright.supply.team import team_of

_KEPT: Final = 64


@dataclass(frozen=True, slots=True)
class Link:
    """One plan of a chain.

    Parameters
    ----------
    title
        What to call it in messages: its title in the list.
    text
        Its text.
    """

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Computed:
    """A plan, computed.

    Parameters
    ----------
    plan
        What its text says.
    dive
        The dive, which has passed its second check.
    earlier
        How many dives come before it.
    team
        Who makes it; None if the text names no cylinders.
    """

    plan: PlanFile
    dive: Schedule
    earlier: int
    team: Team | None


def chain_of(session: Session, plan_id: int, text: str | None = None) -> tuple[Link, ...]:
    """Return a plan with those before it, the first dive first.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    text
        A text of it that is not saved, to be taken in the place of the saved one; None for that.

    Raises
    ------
    InputError
        If it is not there.
    """
    links = [_link(plan) for plan in plan_chain(session, plan_id)]
    if text is not None:
        links[-1] = Link(links[-1].title, text)
    return tuple(links)


@lru_cache(maxsize=_KEPT)
def plan_of(text: str) -> PlanFile:
    """Return what the text of a plan says; a text that was read lately is not read again.

    Parameters
    ----------
    text
        The text.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    return read_plan_text(text)


def computed(chain: tuple[Link, ...], rules: HouseRules) -> Computed:
    """Compute the last dive of a chain.

    Parameters
    ----------
    chain
        As from `chain_of`; one link for a plan that is kept nowhere.
    rules
        The house rules.

    Raises
    ------
    PlanFileError
        With every fault of the last text, and its line.
    InputError
        If text and chain disagree on the dive before, or a dive before has faults.
    NoSafeAnswer
        If there is no safe way to dive it, or one of those before it.
    CheckFailed
        If the second check contradicts the schedule of one of them.
    """
    text = chain[-1].text
    plan = plan_of(text)
    team = team_of(plan, rules, text=text)
    return Computed(plan, _dive(chain, rules), len(chain) - 1, team)


@lru_cache(maxsize=_KEPT)
def _dive(chain: tuple[Link, ...], rules: HouseRules) -> Schedule:
    plan = plan_of(chain[-1].text)
    carried = None
    if len(chain) > 1:
        if plan.earlier is None:
            raise InputError(
                f"a dive comes before it, '{chain[-2].title}', and the text does not say how long "
                "the surface interval is",
                where="earlier",
                right='[earlier] with plan and surface_interval = "3:30", or no dive before it',
            )
        before = _earlier(chain[:-1], rules)
        interval = float(interval_min(plan.earlier.surface_interval))
        carried = carried_after(before, interval, plan.column())
    elif plan.earlier is not None:
        raise InputError(
            f"it begins after an earlier dive, '{plan.earlier.plan}', and none is chosen",
            where="earlier",
            right="choose which plan the earlier dive is",
        )
    dive = schedule(plan.to_plan(rules, carried))
    if not dive.verdict.passed:
        findings = dive.verdict.findings or ("the second check did not pass",)
        raise CheckFailed(
            *(Reason(finding) for finding in findings[:-1]),
            Reason(findings[-1], "none for the diver; report this plan"),
        )
    return dive


def _earlier(chain: tuple[Link, ...], rules: HouseRules) -> Schedule:
    """Compute a dive before; what is wrong with it bears its name."""
    title = chain[-1].title
    try:
        return _dive(chain, rules)
    except PlanFileError as error:
        count = len(error.faults)
        raise InputError(
            f"the earlier dive '{title}' has {count} {'fault' if count == 1 else 'faults'}: "
            f"{error.where or 'its text'} {error.what}",
            where="earlier",
            right="mend that plan first",
        ) from error
    except NoSafeAnswer as refusal:
        named = (
            Reason(f"the earlier dive '{title}': {reason.what}", reason.cure)
            for reason in refusal.reasons
        )
        raise type(refusal)(*named) from refusal


def _link(plan: SavedPlan) -> Link:
    return Link(plan.title, plan.text)
