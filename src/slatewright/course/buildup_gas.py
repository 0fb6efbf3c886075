"""The gas of a whole course: every fill of every dive, what is ordered for them, what it costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import TypeAlias

from slatewright.course.buildup_course import CourseDive
from slatewright.course.buildup_timeline import Timed, Timeline
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.fill.assignment import Need, Owned, assign
from slatewright.fill.bank_order import Job, fill_in_order
from slatewright.fill.needs import needs_of_uses, owned_for
from slatewright.fill.order import GasOrder, order_gas
from slatewright.fill.prices import Bill, Prices, gas_name, sum_of
from slatewright.fill.room import Room, Source
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.supply.consumption import CylinderUse
from slatewright.supply.kit import Diver, Team
from slatewright.supply.loop_divers import kits_of
from slatewright.supply.matching import match
from slatewright.supply.team import team_of

_Use: TypeAlias = tuple[str, CylinderUse]
"""Whose cylinder, and what a dive does to it."""


@dataclass(frozen=True)
class CourseGas:
    """The gas of a course; dives elsewhere are not in it.

    Parameters
    ----------
    needs
        A filled cylinder each, by dive; dives are counted in order of time.
    used_free_l
        Mixture to what is breathed and blown off of it in all dives [L].
    filled_free_l
        Mixture to what is in all cylinders that go into the water [L].
    order
        What is ordered; None without prices, or if no number of supply cylinders would do.
    bill
        What goes into the fills, by the price list; without an order as if the sources never gave
        out. None without prices.
    notes
        What was taken for granted, and what could not be done.
    """

    needs: tuple[Need, ...]
    used_free_l: Mapping[Mixture, float]
    filled_free_l: Mapping[Mixture, float]
    order: GasOrder | None
    bill: Bill | None
    notes: tuple[str, ...]

    @property
    def order_cost(self) -> Decimal | None:
        """Price of the supply cylinders that are ordered, what stays in them too."""
        return self.order.cost if self.order else None


def gas_of(
    timeline: Timeline,
    rules: HouseRules,
    *,
    prices: Prices | None = None,
    room: Room | None = None,
    owned: Sequence[Owned] | None = None,
) -> CourseGas:
    """Return the gas of a course.

    Parameters
    ----------
    timeline
        Its dives.
    rules
        The house rules.
    prices
        A price list; None for amounts alone.
    room
        The fill room, with its booster; None for a plain one without.
    owned
        The cylinders that are there; None for as many as the dive takes that needs most.

    Returns
    -------
    CourseGas
        Whoever makes a dive and is not named in its plan is taken to carry and breathe what the
        plan's diver does; a note says so. On a closed circuit what feeds the loop is used, and
        bailout is filled and comes back as it went.
    """
    needs: list[Need] = []
    notes: list[str] = []
    used: dict[Mixture, float] = {}
    filled: dict[Mixture, float] = {}
    for position, timed in enumerate((t for t in timeline.dives if not t.dive.elsewhere), 1):
        uses = _uses(timed, rules, notes)
        for _, use in uses:
            mix = use.carried.mix
            used[mix] = used.get(mix, 0.0) + use.used_free_l
            filled[mix] = filled.get(mix, 0.0) + free_litres(mix, use.start.amount_mol)
        needs += needs_of_uses(uses, position)
    order, bill = None, None
    if prices is not None and needs:
        room = plain_room(prices) if room is None else replace(room, prices=prices)
        own = owned_for(needs) if owned is None else owned
        try:
            order = order_gas(needs, own, room, prices.offers)
        except (NoSafeAnswer, InputError) as error:
            notes.append(f"no supply cylinders are ordered: {error}")
        try:
            bill = _bill(order, needs, own, room)
        except (NoSafeAnswer, InputError) as error:
            notes.append(f"no cost is told: {error}")
    return CourseGas(tuple(needs), used, filled, order, bill, tuple(dict.fromkeys(notes)))


def _bill(
    order: GasOrder | None, needs: Sequence[Need], owned: Sequence[Owned], room: Room
) -> Bill | None:
    """Return what goes into the fills, by the price list: as ordered, or as if nothing gave out."""
    if order is not None:
        done = order.done
    else:
        jobs = [
            Job(fill.receiver, fill.need.mix, fill.need.gauge_bar)
            for fill in assign(needs, owned, room)
        ]
        done = fill_in_order(jobs, room, {})
    bills = [blend.bill for blend in done.blends if blend.bill is not None]
    return sum_of(bills) if bills else None


def plain_room(prices: Prices) -> Room:
    """Return a fill room with helium, oxygen and air at these prices, and nothing else known of it.

    Parameters
    ----------
    prices
        The price list; its day is that of the fills.
    """
    gases = (HELIUM, OXYGEN, AIR)
    return Room(tuple(Source(gas_name(gas), gas) for gas in gases), prices.on, prices=prices)


def _uses(timed: Timed, rules: HouseRules, notes: list[str]) -> list[_Use]:
    """Return whose cylinders a dive takes, and what it does to each; none if that is not known."""
    dive = timed.dive
    if timed.schedule is None:
        notes.append(f"{dive.called} is not computed, and its gas is not counted")
        return []
    team = team_of(dive.plan, rules, Path(dive.plan_word))
    if team is None:
        notes.append(f"{dive.called} names no cylinders, and its gas is not counted")
        return []
    try:
        return _charged(timed.schedule, _with_who(team, dive, notes))
    except (NoSafeAnswer, InputError) as error:
        notes.append(f"the gas of {dive.called} is not counted: {error}")
        return []


def _charged(schedule: Schedule, team: Team) -> list[_Use]:
    plan = schedule.plan
    if plan.loop is not None:
        kits = kits_of(schedule, team, plan.loop)
        return [(diver.name, use) for diver, uses in kits for use in uses]
    matched = match(plan, schedule.legs, team)
    return [(own.diver.name, each.use) for own in matched.divers for each in own.cylinders]


def _with_who(team: Team, dive: CourseDive, notes: list[str]) -> Team:
    named = {diver.name: diver for diver in team.divers}
    divers: list[Diver] = []
    for name in dive.who:
        if name not in named:
            main = team.divers[0]
            notes.append(f"{name} is taken to carry and breathe what {main.name} does")
        divers.append(named.get(name) or replace(team.divers[0], name=name))
    return replace(team, divers=tuple(divers))
