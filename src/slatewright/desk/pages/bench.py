"""The bench: a plan as a sheet, and all that follows from it, at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Depends
from starlette.background import BackgroundTask
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from slatewright.desk.bench.earlier import Earlier
from slatewright.desk.bench.grids import GRIDS
from slatewright.desk.bench.result import RESULTS
from slatewright.desk.bench.seen import Seen
from slatewright.desk.bench.sheet import Sheet
from slatewright.desk.bench.stand import Stand, stand_kept, stand_typed, turned
from slatewright.desk.bench.variants import Comparison
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault
from slatewright.desk.visit import OnVisit, Visit
from slatewright.physics.units import UnitSystem

router = APIRouter()
PART: Final = "_bench.html"
RESULT_PART: Final = "_bench_result.html"


@dataclass(frozen=True, slots=True)
class Bench:
    """A plan on the bench.

    Parameters
    ----------
    plan_id, title, version
        The plan as it is kept.
    path
        The path of its bench.
    trashed
        Whether it is in the trash.
    text
        The text of the sheet; of one with faults, the last that had none.
    typed
        A text that could not be read, to be mended; empty if the sheet shows it all.
    saved
        Whether the sheet is what is kept.
    sheet
        The fields; None while the text is not even TOML.
    earlier
        The dive before; None likewise.
    seen
        What follows from the sheet; None if nothing was ever computed.
    old
        Whether what is seen belongs to an earlier state of the sheet.
    faults
        What is wrong with the sheet.
    reasons
        Why there is no safe answer to it, each with what would cure it.
    units, other_units
        The units in which results are read, and the others.
    beside
        The text of a variant that was set aside; empty for none.
    comparison
        Both variants; None if there is none set aside, or one cannot be computed.
    width_px
        The room for the charts [px].
    said
        What was done, in a few words; empty if there is nothing to say.
    focus
        The row in which the next thing is to be typed; empty for none.
    sizes
        Names of cylinders, to choose from.
    """

    plan_id: int
    title: str
    version: int
    path: str
    trashed: bool
    text: str
    typed: str
    saved: bool
    sheet: Sheet | None
    earlier: Earlier | None
    seen: Seen | None
    old: bool
    faults: tuple[Fault, ...]
    reasons: tuple[Fault, ...]
    units: UnitSystem
    other_units: UnitSystem
    beside: str
    comparison: Comparison | None
    width_px: int
    said: str
    focus: str
    sizes: tuple[str, ...]


PAGE: Final = Page("bench", "Bench", "bench.html", Bench, scripts=("patch.js", "bench.js"))
PAGES: Final = (PAGE,)


async def _fields(request: Request) -> FormData:
    return await request.form()


Typed = Annotated[FormData, Depends(_fields)]


def bench_of(stand: Stand) -> Bench:
    """Return the page's context.

    Parameters
    ----------
    stand
        The bench as it stands.
    """
    return Bench(**stand.parts())


def shown(visit: Visit, stand: Stand, *, fragment: str = PART) -> Response:
    """Answer with a bench; its way home is begun before the page asks for it.

    Parameters
    ----------
    visit
        The request.
    stand
        The bench as it stands; one with faults or without a safe answer is shown with 422.
    fragment
        The part that is shown where a part is asked for.
    """
    status = 422 if stand.faults or stand.reasons else 200
    response = visit.show(PAGE, bench_of(stand), fragment=fragment, status=status)
    if stand.seen is not None and not stand.old:
        response.background = BackgroundTask(_begin, stand.seen.key)
    return response


def _begin(key: str) -> None:
    result = RESULTS.kept(key)
    if result is not None:
        GRIDS.begin(result)


@router.get("/bench/{plan_id}")
def bench(visit: OnVisit, plan_id: int) -> Response:
    """Show a plan on the bench as it is kept.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    """
    with visit.store.read() as session:
        stand = stand_kept(session, plan_id, visit.house_rules(), visit.room)
    return shown(visit, stand)


@router.post("/bench/{plan_id}/sheet")
def typed(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Show what follows from the sheet as it was typed.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    form
        The sheet.
    """
    with visit.store.read() as session:
        rules, whole = visit.house_rules(), not visit.is_fragment
        stand = stand_typed(session, plan_id, rules, form, fields=whole)
    return shown(visit, stand, fragment=RESULT_PART)


@router.post("/bench/{plan_id}/turn")
def turn(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Do something to the sheet: a row more or less, a cure, another text, a variant.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    form
        The sheet, and what is to be done to it.
    """
    with visit.store.read() as session:
        stand = turned(session, plan_id, visit.house_rules(), form)
    return shown(visit, stand)
