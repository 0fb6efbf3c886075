"""Home: what is next, what is missing for it, and all plans."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.exchange import Example, examples
from slatewright.desk.frame import Page
from slatewright.desk.plan_cards import PlanCard, card_of
from slatewright.desk.visit import OnVisit
from slatewright.store.dives import Dive
from slatewright.store.plans import get_plan, list_plans
from slatewright.store.upcoming import Missing, UpcomingDive, upcoming_dives

router = APIRouter()
_SOON_DAYS: Final = 1
"""Today and tomorrow: what is still missing then asks for caution."""


@dataclass(frozen=True, slots=True)
class Item:
    """Something that a dive needs before it is dived.

    Parameters
    ----------
    what
        What it is, in a word.
    there
        Whether it is there.
    words
        By whom, or what is missing.
    """

    what: str
    there: bool
    words: str


@dataclass(frozen=True, slots=True)
class Next:
    """A dive that is to be dived.

    Parameters
    ----------
    dive
        The dive.
    card
        Its plan.
    items
        What it needs.
    soon
        Whether it is so soon that what is missing asks for caution.
    outdated
        Whether somebody signed an earlier text of the plan.
    """

    dive: Dive
    card: PlanCard
    items: tuple[Item, ...]
    soon: bool
    outdated: bool

    @property
    def complete(self) -> bool:
        """Whether nothing is missing."""
        return all(item.there for item in self.items)


@dataclass(frozen=True, slots=True)
class Home:
    """What the home page shows.

    Parameters
    ----------
    today
        The day.
    upcoming
        The dives from today on, the next first.
    plans
        All plans, the last changed first.
    examples
        What a new plan can begin as.
    trashed
        How many plans are in the trash.
    backup_failure
        Why no backup could be made when the workspace was opened; empty if one was.
    """

    today: date
    upcoming: tuple[Next, ...]
    plans: tuple[PlanCard, ...]
    examples: tuple[Example, ...]
    trashed: int
    backup_failure: str


PAGE: Final = Page(
    "home", "What is next", "home.html", Home, path="/", label="What is next", order=0
)
PAGES: Final = (PAGE,)


@router.get("/")
def home(visit: OnVisit) -> Response:
    """Show what is next.

    Parameters
    ----------
    visit
        The request.
    """
    today = visit.today
    with visit.store.read() as session:
        coming = upcoming_dives(session, from_date=today)
        cards = {entry.id: card_of(get_plan(session, entry.id)) for entry in list_plans(session)}
        trashed = len(list_plans(session, trashed=True))
    context = Home(
        today=today,
        upcoming=tuple(_next(dive, cards[dive.plan.id], today) for dive in coming),
        plans=tuple(cards.values()),
        examples=examples(),
        trashed=trashed,
        backup_failure=getattr(visit.store, "backup_failure", ""),
    )
    return visit.show(PAGE, context)


def _next(coming: UpcomingDive, card: PlanCard, today: date) -> Next:
    return Next(
        dive=coming.dive,
        card=card,
        items=tuple(_item(coming, what) for what in Missing),
        soon=(coming.dive.on_date - today).days <= _SOON_DAYS,
        outdated=bool(coming.outdated),
    )


def _item(coming: UpcomingDive, what: Missing) -> Item:
    if what in coming.missing:
        return Item(str(what), there=False, words="missing")
    if what is Missing.ANALYSIS:
        cylinders = {analysis.cylinder for analysis in coming.analyses}
        many = "cylinder" if len(cylinders) == 1 else "cylinders"
        return Item(str(what), there=True, words=f"{len(cylinders)} {many}")
    by = next(signed.by_name for signed in coming.signatures if str(signed.kind) == str(what))
    return Item(str(what), there=True, words=by)
