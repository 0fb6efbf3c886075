"""Home: what is next, what is missing for it, and all plans."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.exchange import Example, examples
from slatewright.desk.frame import Page
from slatewright.desk.kit_checks import Found, kit_checks, planned_cylinders
from slatewright.desk.plan_cards import PlanCard, card_of
from slatewright.desk.visit import OnVisit
from slatewright.paper.reading import in_depth_unit
from slatewright.physics.units import UnitSystem
from slatewright.store.debriefs import Debrief, recent_debriefs
from slatewright.store.dives import Dive
from slatewright.store.plans import get_plan, list_plans
from slatewright.store.upcoming import Missing, UpcomingDive, upcoming_dives

router = APIRouter()
_BAND_PX: Final = 24
_BANDS: Final = {UnitSystem.METRIC: 15.0, UnitSystem.IMPERIAL: 50.0}
"""A band of the drawing is as deep, in the reader's units; ``home.css`` has the same pixels."""
_LABELLED: Final = (2, 4, 6)
_MOST_LEADS: Final = 12
_DEBRIEFS: Final = 4
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
class Lead:
    """A dive as a lead on its line, hung into the water as deep as it goes.

    Parameters
    ----------
    on_date
        The day.
    card
        Its plan, which has an outline.
    length_px
        How long the line is drawn.
    knots_px
        Where the line has its knots, one at each band.
    """

    on_date: date
    card: PlanCard
    length_px: int
    knots_px: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Leads:
    """The next dives, drawn side by side.

    Parameters
    ----------
    leads
        Those of known depth.
    marks
        The depths of the second, fourth and sixth band, with their unit.
    """

    leads: tuple[Lead, ...]
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Home:
    """What the home page shows.

    Parameters
    ----------
    today
        The day.
    upcoming
        The dives from today on, the next first.
    drawn
        The same, drawn.
    debriefs
        The last debriefs, the last dive first.
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
    drawn: Leads
    debriefs: tuple[Debrief, ...]
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
        debriefs = recent_debriefs(session, most=_DEBRIEFS)
    context = Home(
        today=today,
        upcoming=tuple(_next(dive, cards[dive.plan.id], today) for dive in coming),
        drawn=_drawn(coming, cards),
        debriefs=debriefs,
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
        items=tuple(_item(coming, what, card.plan.text) for what in Missing),
        soon=(coming.dive.on_date - today).days <= _SOON_DAYS,
        outdated=bool(coming.outdated),
    )


def _drawn(coming: tuple[UpcomingDive, ...], cards: dict[int, PlanCard]) -> Leads:
    known = [
        (dive.dive.on_date, card, card.outline)
        for dive in coming[:_MOST_LEADS]
        if (card := cards[dive.plan.id]).outline is not None
    ]
    units = known[0][2].units if known else UnitSystem.METRIC
    px_per_unit = _BAND_PX / _BANDS[units]
    leads = []
    for on_date, card, outline in known:
        length_px = round(in_depth_unit(outline.deepest_m, units) * px_per_unit)
        leads.append(Lead(on_date, card, length_px, tuple(range(_BAND_PX, length_px, _BAND_PX))))
    marks = tuple(f"{_BANDS[units] * band:g} {units.depth_unit}" for band in _LABELLED)
    return Leads(tuple(leads), marks)


def _item(coming: UpcomingDive, what: Missing, text: str) -> Item:
    if what is Missing.ANALYSIS:
        return _analysis(coming, text)
    if what in coming.missing:
        return Item(str(what), there=False, words="missing")
    by = next(signed.by_name for signed in coming.signatures if str(signed.kind) == str(what))
    return Item(str(what), there=True, words=by)


def _analysis(coming: UpcomingDive, text: str) -> Item:
    checks = kit_checks(planned_cylinders(text), coming.analyses)
    what = str(Missing.ANALYSIS)
    if not checks:
        count = len(coming.analyses)
        return Item(what, there=count > 0, words=f"{count} recorded" if count else "missing")
    good = sum(check.found is Found.GOOD for check in checks)
    wrong = sum(check.found in {Found.OFF, Found.HALF} for check in checks)
    words = f"{good} of {len(checks)} cylinders"
    told = f"{words}, {wrong} not as planned" if wrong else words
    return Item(what, there=good == len(checks), words=told)
