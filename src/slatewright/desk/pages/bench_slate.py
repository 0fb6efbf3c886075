"""The slate of a dive on the bench; one without a way home is printed on the word of a person."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.cautions import NO_CYLINDERS
from slatewright.desk.bench.answers import result_typed
from slatewright.desk.bench.asked import last
from slatewright.desk.bench.result import Result
from slatewright.desk.exchange import file_name
from slatewright.desk.frame import Page
from slatewright.desk.pages.bench import Typed
from slatewright.desk.pages.bench_files import download
from slatewright.desk.pages.bench_way import kept_result
from slatewright.desk.visit import OnVisit, Visit
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError
from slatewright.paper.slate_extras import SlateExtras
from slatewright.store.plans import get_plan

router = APIRouter()
PAGES: Final[tuple[Page, ...]] = ()
_LONGEST_NAME: Final = 60


@router.post("/bench/{plan_id}/slate")
def slate(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Print the slate of the sheet as it stands.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    form
        The sheet; ``override`` is the name of who answers for a dive without a way home.
    """
    with visit.store.read() as session:
        result, _, _ = result_typed(session, plan_id, visit.house_rules(), form)
    return _printed(visit, plan_id, result, last(form, "override"))


@router.post("/bench/{plan_id}/slate/{key}")
def slate_on_a_word(
    visit: OnVisit, plan_id: int, key: str, override: Annotated[str, Form()] = ""
) -> Response:
    """Print the slate of a dive without a way home, on the word of a person.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    key
        What the result is kept under.
    override
        The name of the person who answers for it.
    """
    result = kept_result(visit, plan_id, key)
    if not override.strip():
        raise InputError("nobody answers for this slate", where="override", right="your name")
    return _printed(visit, plan_id, result, override)


def _printed(visit: Visit, plan_id: int, result: Result, override: str) -> Response:
    from slatewright.paper.slate import slate_pdf  # noqa: PLC0415 - typesetting takes its time to import

    with visit.store.read() as session:
        plan = get_plan(session, plan_id)
    pdf = slate_pdf(*_judged(result, override.strip()[:_LONGEST_NAME] or None))
    name = file_name(replace(plan, title=result.dive.plan.title)).removesuffix(".toml")
    return download(pdf, f"{name}.pdf", "application/pdf")


def _judged(result: Result, override: str | None) -> tuple[Schedule, SlateExtras]:
    """Return the dive with the hazards of its gas, and what the slate carries besides."""
    if result.team is None:
        return result.dive, SlateExtras(not_judged=NO_CYLINDERS)
    if result.dive.plan.loop is not None:
        from slatewright.paper.slate_loop import loop_extras  # noqa: PLC0415 - as above
        from slatewright.supply.loop_supply import loop_supply  # noqa: PLC0415 - as above

        loop = loop_supply(result.dive, result.team)
        return loop.schedule, loop_extras(loop, override)
    from slatewright.paper.slate_judged import extras_of  # noqa: PLC0415 - as above
    from slatewright.supply.judged import judge  # noqa: PLC0415 - as above

    judged = judge(result.dive, result.team)
    return judged.schedule, extras_of(judged, override)
