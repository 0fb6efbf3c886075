"""A text of a plan, computed: the dive, its gas, its hazards. What did not change is kept."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from slatewright.cautions import NO_CYLINDERS
from slatewright.desk.computing import Computed, Link, computed, plan_of
from slatewright.dive.breathed import Breathed, breathed_along
from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Plan
from slatewright.dive.planfile import PlanFile
from slatewright.dive.schedule import Schedule, schedule
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.physics.units import UnitSystem
from slatewright.supply.kit import Team
from slatewright.supply.loop_divers import DiverLoop, divers_of
from slatewright.supply.loop_hazards import loop_hazards
from slatewright.supply.matching import Matched, match
from slatewright.supply.price import BottomMinute, bottom_minute
from slatewright.supply.supply_hazards import supply_hazards

_KEPT: Final = 96
_ORDER: Final = {Severity.DANGER: 0, Severity.WARNING: 1, Severity.NOTE: 2}


@dataclass(frozen=True, eq=False)
class Result:
    """A plan, computed and seen in one system of units.

    Parameters
    ----------
    key
        What it is kept under; the same plan, rules and units have the same.
    text
        The text of the plan.
    plan
        What it says.
    units
        The units of the reader, which need not be those of the plan.
    dive
        The dive; its texts speak in the reader's units.
    earlier
        How many dives come before it.
    team
        Who makes it; None if the text names no cylinders.
    gas
        Every cylinder, what is kept, when to turn; None if nobody knows, and on a closed circuit.
    loops
        On a closed circuit each diver's loop, absorbent and bailout; empty on open circuit, and if
        nobody knows.
    gas_missing
        Why nobody knows; empty if it is known.
    minute
        What one more minute at the bottom costs the plan's diver; None if there is no safe dive
        with it, if nobody knows the gas, and on a closed circuit.
    along
        What is breathed in each leg.
    hazards
        Those of the dive and of its gas, the most severe first. The way home has its own.
    """

    key: str
    text: str
    plan: PlanFile
    units: UnitSystem
    dive: Schedule
    earlier: int
    team: Team | None
    gas: Matched | None
    loops: tuple[DiverLoop, ...]
    gas_missing: str
    minute: BottomMinute | None
    along: tuple[Breathed, ...]
    hazards: tuple[Hazard, ...]

    @property
    def has_way(self) -> bool:
        """Whether enough is known of its gas for the way home to be judged."""
        return self.gas is not None or bool(self.loops)


@dataclass(frozen=True, slots=True)
class _Gas:
    """What became known of the gas of a dive."""

    missing: str = ""
    matched: Matched | None = None
    loops: tuple[DiverLoop, ...] = ()
    minute: BottomMinute | None = None
    hazards: tuple[Hazard, ...] = ()


class Results:
    """The last results, by their keys: what a number on a page is opened from."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Result] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, chain: tuple[Link, ...], rules: HouseRules, units: UnitSystem | None) -> Result:
        """Compute a plan, or return what is kept of it.

        Parameters
        ----------
        chain
            The plan with those before it.
        rules
            The house rules.
        units
            The units of the reader; None for those of the plan.

        Raises
        ------
        SlatewrightError
            As `slatewright.desk.computing.computed` does.
        """
        key = _key(chain, rules, units or plan_of(chain[-1].text).units)
        known = self.kept(key)
        if known is not None:
            return known
        made = _result(key, chain[-1].text, computed(chain, rules), units)
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return made

    def kept(self, key: str) -> Result | None:
        """Return what is kept under a key; None if it is not kept any more.

        Parameters
        ----------
        key
            The key.
        """
        with self._lock:
            known = self._kept.get(key)
            if known is not None:
                self._kept.move_to_end(key)
            return known


RESULTS: Final = Results()


def _key(chain: tuple[Link, ...], rules: HouseRules, units: UnitSystem) -> str:
    said = [link.text for link in chain]
    digest = hashlib.sha256(repr((said, rules, str(units))).encode())
    return digest.hexdigest()[:20]


def _result(key: str, text: str, found: Computed, units: UnitSystem | None) -> Result:
    seen = units or found.plan.units
    dive = found.dive
    if seen is not dive.plan.units:
        dive = _seen(replace(dive.plan, units=seen))
    team = None if found.team is None else _read_in(found.team, found.plan, seen)
    gas = _gas_of(dive, team)
    every = (*dive.hazards, *gas.hazards)
    return Result(
        key=key,
        text=text,
        plan=found.plan,
        units=seen,
        dive=dive,
        earlier=found.earlier,
        team=team,
        gas=gas.matched,
        loops=gas.loops,
        gas_missing=gas.missing,
        minute=gas.minute,
        along=breathed_along(dive),
        hazards=tuple(sorted(every, key=lambda one: (_ORDER[one.severity], one.at_min))),
    )


def _gas_of(dive: Schedule, team: Team | None) -> _Gas:
    if team is None:
        return _Gas(NO_CYLINDERS)
    return _of_a_loop(dive, team) if dive.plan.loop is not None else _of_cylinders(dive, team)


def _of_cylinders(dive: Schedule, team: Team) -> _Gas:
    plan, kelvin = dive.plan, team.water_temperature_k
    gas, missing, minute, hazards = None, "", None, tuple[Hazard, ...]()
    try:
        gas = match(plan, dive.legs, team)
        hazards = tuple(supply_hazards(gas))
        minute = bottom_minute(plan, dive.legs, team.divers[0], team.rules, kelvin)
    except InputError as error:
        missing = _where_and_what(error)
    except NoSafeAnswer as refusal:
        missing = f"with a problem at the end of a stay: {refusal.reasons[0].what}"
    return _Gas(missing, gas, minute=minute, hazards=hazards)


def _of_a_loop(dive: Schedule, team: Team) -> _Gas:
    """Return the gas of a closed circuit: while it works, no cylinder is breathed from."""
    if dive.plan.loop is None:
        raise ValueError("a dive on open circuit has no loop")
    try:
        loops = divers_of(dive, team, dive.plan.loop)
    except InputError as error:
        return _Gas(_where_and_what(error))
    return _Gas(loops=loops, hazards=tuple(loop_hazards(dive, team, loops)))


def _where_and_what(error: InputError) -> str:
    return f"{error.where}: {error.what}" if error.where else error.what


@lru_cache(maxsize=64)
def _seen(plan: Plan) -> Schedule:
    """Compute the same dive for a reader of other units: only what is said of it differs."""
    return schedule(plan)


def _read_in(team: Team, plan: PlanFile, units: UnitSystem) -> Team:
    """Return the team with gauges of the reader's units, where the plan does not say otherwise."""
    if units is plan.units:
        return team
    own = [plan.diver.gauge, *(partner.gauge for partner in plan.partner)]
    divers = tuple(
        diver if gauge is not None else replace(diver, units=units)
        for diver, gauge in zip(team.divers, own, strict=True)
    )
    return replace(team, divers=divers)
