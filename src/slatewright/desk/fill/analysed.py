"""The analyses of a fill file with the plan of its dive: what the dive becomes, and the labels."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Final

from slatewright.desk.computing import Link, chain_of, computed
from slatewright.desk.fill.work import Kept, Work
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Plan
from slatewright.errors import InputError
from slatewright.fill.checked import Checked, with_plan
from slatewright.store.faults import NoSuchRecord
from slatewright.store.session import Session


@dataclass(frozen=True, eq=False)
class Dived:
    """Analyses with the plan that they are for.

    Parameters
    ----------
    checked
        The analyses, with the dives that they make.
    plan
        The plan.
    """

    checked: Checked
    plan: Plan


_DIVES: Final[Kept[Dived]] = Kept()


def chain_for(session: Session, plan_id: int | None) -> tuple[Link, ...] | None:
    """Return the plan that was chosen with those before it; None if none is, or it is gone.

    Parameters
    ----------
    session
        A session of the store.
    plan_id
        The plan that was chosen.
    """
    if plan_id is None:
        return None
    try:
        return chain_of(session, plan_id)
    except NoSuchRecord:
        return None


def plan_for(chain: tuple[Link, ...], rules: HouseRules) -> Plan:
    """Return the plan whose limits count on the labels.

    Parameters
    ----------
    chain
        The plan with those before it.
    rules
        The house rules.

    Raises
    ------
    InputError
        If a text has faults.
    NoSafeAnswer
        If there is no safe way to dive it.
    """
    return computed(chain, rules).dive.plan


def dived(work: Work, chain: tuple[Link, ...], rules: HouseRules) -> Dived:
    """Compute the dive of a plan again with what was analysed.

    Parameters
    ----------
    work
        The fill file, with analyses.
    chain
        The plan with those before it.
    rules
        The house rules.

    Raises
    ------
    InputError
        If nothing was analysed, or a text has faults.
    NoSafeAnswer
        If there is no safe way to dive the plan.
    """
    checked = work.checked
    if checked is None:
        raise InputError("nothing was analysed", right="what the analyser said, at its cylinder")
    texts = "\0".join((work.key, *(link.text for link in chain), repr(rules)))

    def make() -> Dived:
        found = computed(chain, rules)
        return Dived(with_plan(checked, found.dive, found.team), found.dive.plan)

    return _DIVES.of(hashlib.sha256(texts.encode()).hexdigest(), make)
