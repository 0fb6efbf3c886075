"""What takes its time on the page of a course: gas and cost, skills, the proposed order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from markupsafe import Markup

from slatewright.course.buildup_skills import CourseSkills
from slatewright.course.proposal import Proposal
from slatewright.course.skill_schedule import Proposal as Spread
from slatewright.desk.course.course_ladder import ladder_of
from slatewright.desk.course.course_work import Work, library
from slatewright.desk.problem import Fault
from slatewright.desk.workings import Account, Row, Shown
from slatewright.errors import InputError
from slatewright.paper.reading import free_text
from slatewright.paper.theme import mixture_name
from slatewright.physics.units import pressure_left_label, pressure_needed_label

if TYPE_CHECKING:
    from slatewright.course.buildup_gas import CourseGas

_UNLIMITED: Final = 1000


@dataclass(frozen=True, slots=True)
class GasRow:
    """A gas of the course.

    Parameters
    ----------
    name
        The gas.
    used, filled
        What is breathed of it, and what is in all cylinders.
    """

    name: str
    used: str
    filled: Shown


@dataclass(frozen=True, slots=True)
class GasView:
    """Gas and cost of a course.

    Parameters
    ----------
    rows
        A gas each.
    room
        Whose prices are taken; empty if there are none.
    cost
        What goes into the fills; None without prices.
    order
        What is ordered for them, a line each.
    order_cost
        What that costs; empty without prices.
    notes
        What was taken for granted, and what could not be done.
    """

    rows: tuple[GasRow, ...]
    room: str
    cost: Shown | None
    order: tuple[str, ...]
    order_cost: str
    notes: tuple[str, ...]


def gas_view(work: Work, gas: CourseGas, room: str, notes: tuple[str, ...], how: str) -> GasView:
    """Return gas and cost as they are shown.

    Parameters
    ----------
    work
        The course.
    gas
        Its gas.
    room
        What the ledger calls the fill room; empty if it is not priced.
    notes
        Why it is not priced.
    how
        The path under which the course tells how its numbers came about.
    """
    units = work.built.course.units
    orders = () if gas.order is None else (gas.order.helium, gas.order.oxygen)
    cost = None
    if gas.bill is not None:
        cost = Shown(f"{gas.bill.total:,.2f}", gas.bill.currency, account=f"{how}/cost")
    return GasView(
        rows=tuple(
            GasRow(
                mixture_name(mix),
                free_text(used, units),
                Shown(
                    free_text(gas.filled_free_l.get(mix, 0.0), units),
                    account=f"{how}/fills/{place}",
                ),
            )
            for place, (mix, used) in enumerate(gas.used_free_l.items())
        ),
        room=room,
        cost=cost,
        order=tuple(
            f"{one.gas}: {', '.join(f'{count} x {offer.name}' for offer, count in one.kinds)}"
            for one in orders
            if one.kinds
        ),
        order_cost=""
        if gas.order_cost is None or gas.bill is None
        else f"{gas.order_cost:,.2f} {gas.bill.currency}",
        notes=(*notes, *gas.notes),
    )


def gas_account(work: Work, gas: CourseGas, what: str) -> Account:
    """Return how a number of gas or cost came about.

    Parameters
    ----------
    work
        The course.
    gas
        Its gas.
    what
        Which number: ``cost``, or ``fills/2``.

    Raises
    ------
    InputError
        If there is no such number.
    """
    name, _, place = what.partition("/")
    units = work.built.course.units
    if name == "cost" and gas.bill is not None:
        return Account(
            title="What goes into the fills of the course",
            number=Shown(f"{gas.bill.total:,.2f}", gas.bill.currency),
            sentences=(
                (
                    "All fills of all dives in their order, by the recipes of the fill room; what "
                    "is left in a cylinder is topped up and not bought again."
                ),
                (
                    "What stays behind in supply cylinders that have to be bought is in the order, "
                    "and not here."
                ),
            ),
            rows=tuple(
                Row(
                    f"{line.gas}, {free_text(float(line.free_l), units)}"
                    + (f", {line.fills} fees for a fill" if line.fills else ""),
                    Shown(f"{line.cost:,.2f}", gas.bill.currency),
                )
                for line in gas.bill.lines
            ),
        )
    mixes = list(gas.used_free_l)
    if name != "fills" or not (place.isascii() and place.isdecimal() and int(place) < len(mixes)):
        raise InputError("there is no such number", right="one of the page")
    mix = mixes[int(place)]
    ladder = work.built.course.ladder
    return Account(
        title=f"{mixture_name(mix)} in all cylinders that go into the water",
        number=Shown(free_text(gas.filled_free_l.get(mix, 0.0), units)),
        sentences=(
            (
                "A fill each; free gas by the equation of state. After the dive the rest is what "
                "is expected on the gauge."
            ),
        ),
        rows=tuple(
            Row(
                f"{ladder[need.dive - 1].called}, {need.owner}, {need.cylinder.name}",
                Shown(
                    f"{pressure_needed_label(need.gauge_bar, units)}, "
                    f"{pressure_left_label(need.left_gauge_bar, units)} after"
                ),
            )
            for need in gas.needs
            if need.mix == mix
        ),
    )


@dataclass(frozen=True, slots=True)
class SkillDive:
    """The skills of a dive.

    Parameters
    ----------
    number, title
        The dive.
    about
        Its depth, stops, and what it bears.
    now, proposed
        The skills as the text has them, and as they are proposed, in words.
    load
        Their load as proposed.
    differs
        Whether the two are not the same.
    """

    number: str
    title: str
    about: str
    now: tuple[str, ...]
    proposed: tuple[str, ...]
    load: str
    differs: bool


@dataclass(frozen=True, slots=True)
class SkillsView:
    """The skills of a course, as they stand and as they are proposed.

    Parameters
    ----------
    path, version
        Of the course.
    everything
        Whether the whole list of skills is to be spread.
    dives
        The dives, in order of time.
    findings
        What is wrong with the skills as the text has them.
    unplaced
        Skills that have no place: what, why, and what would give them one.
    cures
        What would place more of them at once.
    brought
        What is taken as shown before the course.
    can_accept
        Whether the proposal may be written into the text.
    faults
        Why there is no proposal.
    """

    path: str
    version: int
    everything: bool
    dives: tuple[SkillDive, ...]
    findings: tuple[tuple[str, str, str], ...]
    unplaced: tuple[tuple[str, tuple[str, ...], tuple[str, ...]], ...]
    cures: tuple[str, ...]
    brought: tuple[str, ...]
    can_accept: bool
    faults: tuple[Fault, ...] = ()


def skills_view(
    work: Work,
    skills: CourseSkills,
    spread: Spread,
    path: str,
    version: int,
    *,
    everything: bool,
) -> SkillsView:
    """Return the skills of a course as they are shown.

    Parameters
    ----------
    work
        The course.
    skills
        Its skills.
    spread
        What is proposed.
    path, version
        Of the course.
    everything
        Whether the whole list of skills was to be spread.
    """
    now = {one.dive: one.skills for one in skills.assignment}
    proposed = {one.dive: one.skills for one in spread.dives}
    loads = {one.dive: load for one, load in zip(spread.dives, spread.loads, strict=True)}
    title = {str(dive.number): dive.plan.title for dive in work.built.course.dives}
    dives = tuple(
        SkillDive(
            number=one.id,
            title=title[one.id],
            about=f"{one.greatest}, stops {one.decompression}"
            + (f", bears {one.load_limit}" if one.load_limit < _UNLIMITED else ""),
            now=tuple(map(_words, now.get(one.id, ()))),
            proposed=tuple(map(_words, proposed[one.id])),
            load=str(loads[one.id]),
            differs=set(now.get(one.id, ())) != set(proposed[one.id]),
        )
        for one in skills.dives
    )
    return SkillsView(
        path=path,
        version=version,
        everything=everything,
        dives=dives,
        findings=tuple((one.dive, one.what, one.cure) for one in skills.findings()),
        unplaced=tuple((one.words, one.why, one.cures) for one in spread.unplaced),
        cures=spread.cures,
        brought=tuple(_words(one) for one in sorted(skills.brought)),
        can_accept=any(dive.differs for dive in dives) and any(spread.loads),
    )


def _words(skill: str) -> str:
    known = library().by_id
    return known[skill].words if skill in known else skill


@dataclass(frozen=True, slots=True)
class OrderView:
    """The order that is proposed.

    Parameters
    ----------
    path, version
        Of the course.
    moves
        What is moved: the dive, from when, to when.
    before, after
        How many findings there are, in words.
    ladder
        The course as proposed, drawn; None if nothing is moved.
    said
        How sure it is.
    faults
        Why there is none.
    """

    path: str
    version: int
    moves: tuple[tuple[str, str, str], ...] = ()
    before: str = ""
    after: str = ""
    ladder: Markup | None = None
    said: str = ""
    faults: tuple[Fault, ...] = ()


def order_view(work: Work, proposal: Proposal, path: str, version: int) -> OrderView:
    """Return a proposed order as it is shown.

    Parameters
    ----------
    work
        The course.
    proposal
        What is proposed.
    path, version
        Of the course.
    """
    course = work.built.course
    dives = {dive.number: dive for dive in course.dives}
    return OrderView(
        path=path,
        version=version,
        moves=tuple(
            (
                f"{move.dive}: {dives[move.dive].plan.title}",
                f"{dives[move.dive].start:%a %d %b, %H:%M}",
                f"{move.to:%a %d %b, %H:%M}",
            )
            for move in proposal.moves
        ),
        before=_count(sum(one.violates for one in proposal.before.findings)),
        after=_count(sum(one.violates for one in proposal.judged.findings)),
        ladder=ladder_of(
            proposal.judged.course, proposal.judged.timeline, proposal.judged.findings, still=True
        )
        if proposal.moves
        else None,
        said="No order on these days and hours is better."
        if proposal.least
        else "The best that was found in the time given; a better one may exist.",
    )


def _count(findings: int) -> str:
    return "no finding" if not findings else f"{findings} finding{'s' if findings > 1 else ''}"
