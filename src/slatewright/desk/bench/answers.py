"""Texts of the bench, answered: computed with the dives before them, or refused."""

from __future__ import annotations

from slatewright.desk.bench.asked import Asked, last, lines
from slatewright.desk.bench.earlier import chain_with, chosen_in, with_earlier
from slatewright.desk.bench.form import Fields
from slatewright.desk.bench.result import RESULTS, Result
from slatewright.desk.bench.work import Work, work_of_data, work_of_form, work_of_text
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan_text import read_plan_text
from slatewright.errors import InputError, SlatewrightError
from slatewright.store.plan_records import SavedPlan
from slatewright.store.plans import get_plan
from slatewright.store.session import Session


def answer_to(
    session: Session,
    plan: SavedPlan,
    rules: HouseRules,
    text: str,
    asked: Asked,
    title: str = "",
) -> Result:
    """Compute a text of a plan.

    Parameters
    ----------
    session
        A session.
    plan
        The plan as it is kept.
    rules
        The house rules.
    text
        The text.
    asked
        Which dive comes before, and in which units the answer is read.
    title
        What to call it in messages; empty for the title that is kept.

    Raises
    ------
    SlatewrightError
        If the text or a dive before it has faults, or there is no safe answer.
    """
    chain = chain_with(session, plan.id, title or plan.title, text, asked.chosen)
    return RESULTS.of(chain, rules, asked.units)


def result_typed(
    session: Session, plan_id: int, rules: HouseRules, form: Fields
) -> tuple[Result, Work, str]:
    """Compute the sheet as it was typed, or refuse it.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    rules
        The house rules.
    form
        The sheet.

    Returns
    -------
    tuple
        The result, the sheet, and which dive comes before.

    Raises
    ------
    SlatewrightError
        If it has faults, or no safe answer.
    """
    plan, asked = get_plan(session, plan_id), Asked.by(form)
    work = sheet_typed(session, form, asked)
    if not work.text:
        read_plan_text(work.typed) if work.typed else None
        fault = work.faults[0]
        raise InputError(fault.what, where=fault.where, right=fault.right)
    return answer_to(session, plan, rules, work.text, asked), work, asked.chosen


def result_kept(session: Session, plan_id: int, rules: HouseRules) -> Result | None:
    """Compute a plan as it is kept; None if it has faults or no safe answer.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    rules
        The house rules.
    """
    plan = get_plan(session, plan_id)
    chosen = chosen_in(plan.earlier_plan_id, work_of_text(plan.text).data)
    try:
        return answer_to(session, plan, rules, plan.text, Asked(chosen=chosen))
    except SlatewrightError:
        return None


def last_good(session: Session, plan: SavedPlan, rules: HouseRules, asked: Asked) -> Result | None:
    """Compute the last state of the sheet that could be computed; None if there is none.

    Parameters
    ----------
    session
        A session.
    plan
        The plan as it is kept.
    rules
        The house rules.
    asked
        What the form says besides the sheet.
    """
    for text in dict.fromkeys((asked.base, plan.text)):
        try:
            return answer_to(session, plan, rules, text, asked)
        except SlatewrightError:
            continue
    return None


def work_typed(session: Session, form: Fields) -> tuple[Work, str]:
    """Return the sheet as it was typed, and which dive comes before.

    Parameters
    ----------
    session
        A session.
    form
        The sheet.
    """
    asked = Asked.by(form)
    return sheet_typed(session, form, asked), asked.chosen


def sheet_typed(session: Session, form: Fields, asked: Asked) -> Work:
    """Return the sheet as it was typed.

    Parameters
    ----------
    session
        A session.
    form
        The sheet.
    asked
        What the form says besides.
    """
    if not asked.base:  # a text that could not be read stands in its place
        return work_of_text(lines(last(form, "whole")))
    work = work_of_form(form, asked.base, asked.do)
    data = with_earlier(session, work.data or {}, asked.chosen, asked.interval)
    return work if data == work.data else work_of_data(data, asked.base)
