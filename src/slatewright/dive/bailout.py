"""The ascent on open circuit after a loop has failed, from any minute of a dive."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

from slatewright.decompression.along import tensions_at
from slatewright.decompression.ascent import Solution, solve_ascent
from slatewright.decompression.ladder import (
    NEAR_M,
    AscentGas,
    Ladder,
    NothingToBreathe,
    breathable,
    ladder,
    last_level_from,
    level_above,
)
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.tissues import COMPARTMENTS, Tissues
from slatewright.dive import say
from slatewright.dive.finished import Finished
from slatewright.dive.gases import deepest_m, floor_words, shallowest_m
from slatewright.dive.plan import Plan
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.physics.limits import best_oxygen_at
from slatewright.physics.mixture import Mixture


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of a dive at which the loop is left.

    Parameters
    ----------
    at_min, at_m
        Run time and depth [min], [m].
    tissues
        Inert gas then.
    first_stop_m
        The first stop of the dive, if it has been reached: its gradient line is kept [m]; else
        None.
    """

    at_min: float
    at_m: float
    tissues: Tissues
    first_stop_m: float | None = None


@dataclass(frozen=True, slots=True)
class Bailout:
    """An ascent on open circuit.

    Parameters
    ----------
    moment
        Where it begins.
    gases
        What is carried for it, as the ladder numbers it.
    first
        The number of the gas that is taken first.
    rungs
        The gas at each level.
    problem
        The time on open circuit at that depth before the way up begins; None for none.
    solution
        The ascent after it.
    """

    moment: Moment
    gases: tuple[AscentGas, ...]
    first: int
    rungs: Ladder
    problem: Leg | None
    solution: Solution

    @property
    def legs(self) -> tuple[Leg, ...]:
        """Its legs, all on open circuit."""
        return (*((self.problem,) if self.problem else ()), *self.solution.legs)

    @property
    def minutes(self) -> float:
        """How long it takes to the surface [min]."""
        return self.solution.runtime_min - self.moment.at_min

    @property
    def breathed(self) -> tuple[Mixture, ...]:
        """The gases in the order in which they are taken."""
        return tuple(dict.fromkeys(leg.gas for leg in self.legs))


def moment_of(dive: Finished, at_min: float) -> Moment:
    """Return where a diver is at a minute of a dive, and with how much inert gas.

    Parameters
    ----------
    dive
        The finished dive.
    at_min
        The run time [min].

    Raises
    ------
    InputError
        If the diver is not under water then.
    """
    return moments_of(dive, (at_min,))[0]


def moments_of(dive: Finished, at_min: Collection[float]) -> tuple[Moment, ...]:
    """Return several moments of a dive at once.

    Parameters
    ----------
    dive
        The finished dive.
    at_min
        The run times, rising [min].

    Raises
    ------
    InputError
        If the diver is not under water at one of them, or they do not rise.
    """
    found = []
    tensions_bar = tensions_at(
        dive.legs, list(at_min), dive.plan.settings, dive.plan.water, dive.start
    )
    for minute, tension in zip(at_min, tensions_bar.tolist(), strict=True):
        depth_m = dive.depth_at(minute)
        if depth_m <= NEAR_M:
            raise InputError(
                f"at {minute:g} min nobody is under water",
                where="at_min",
                right=f"above 0 and below {dive.runtime_min:g} min",
            )
        found.append(Moment(minute, depth_m, _tissues(tension), _reached_m(dive, minute, depth_m)))
    return tuple(found)


def _reached_m(dive: Finished, at_min: float, at_m: float) -> float | None:
    """Return the first stop if a moment lies at or after it."""
    stop_m = dive.first_stop_m
    rising = at_min >= dive.bottom_left_min
    return stop_m if stop_m is not None and rising and at_m <= stop_m + NEAR_M else None


def bailout_hands(plan: Plan, lost: Collection[Mixture] = ()) -> tuple[AscentGas, ...]:
    """Return the bailout gases of a plan as they may be breathed on the way up.

    Parameters
    ----------
    plan
        A plan on a closed circuit.
    lost
        Gases that are not at hand, because they were lost or given to another.

    Returns
    -------
    tuple
        Each mixture once, in the order of the plan. Where the person says from which level on a gas
        is taken up, it is not taken deeper.

    Raises
    ------
    NoSafeAnswer
        If such a level lies deeper than the gas may be breathed.
    """
    hands: dict[Mixture, AscentGas] = {}
    for gas in plan.bailout_gases:
        if gas.mix in lost:
            continue
        limit_m = deepest_m(plan, gas)
        if gas.switch_m is not None and gas.switch_m > limit_m + NEAR_M:
            raise NoSafeAnswer(
                Reason(
                    f"{gas.mix} is to be taken for bailout at "
                    f"{say.depth(gas.switch_m, plan.units)}, and may be breathed no deeper than "
                    f"{say.no_deeper(limit_m, plan.units)} ({gas.ppo2_max_bar:g} bar)",
                    f"{say.no_deeper(limit_m, plan.units)} or shallower, or a leaner gas",
                )
            )
        to_m = limit_m if gas.switch_m is None else gas.switch_m
        known = hands.get(gas.mix)
        if known is None or to_m > known.deepest_m:
            hands[gas.mix] = AscentGas(
                gas.mix, to_m, shallowest_m(plan, gas.mix), change_min=plan.settings.switch_min
            )
    return tuple(hands.values())


def bailout_from(
    dive: Finished,
    at_min: float,
    *,
    lost: Collection[Mixture] = (),
    problem_min: float = 0.0,
) -> Bailout:
    """Solve the ascent on open circuit from a minute of a dive on a closed circuit.

    Parameters
    ----------
    dive
        The finished dive.
    at_min
        The run time at which the loop is left [min].
    lost
        Bailout gases that are not at hand.
    problem_min
        Time on open circuit at that depth before the way up begins [min].

    Returns
    -------
    Bailout
        On the gas first that is the richest there; no minute is counted for taking it.

    Raises
    ------
    InputError
        If the diver is not under water then.
    NoSafeAnswer
        If there is nothing to breathe somewhere on the way, or no ascent.
    """
    return bailout_of(dive.plan, moment_of(dive, at_min), lost=lost, problem_min=problem_min)


def bailout_of(
    plan: Plan,
    moment: Moment,
    *,
    lost: Collection[Mixture] = (),
    problem_min: float = 0.0,
) -> Bailout:
    """Solve the ascent on open circuit from a moment.

    Parameters
    ----------
    plan
        The plan of the dive.
    moment
        Where the loop is left.
    lost
        Bailout gases that are not at hand.
    problem_min
        Time on open circuit at that depth before the way up begins [min].

    Returns
    -------
    Bailout
        As for `bailout_from`.

    Raises
    ------
    NoSafeAnswer
        If there is nothing to breathe somewhere on the way, or no ascent.
    """
    way = bailout_way(plan, moment.at_m, lost=lost)
    tissues, start_min, problem = moment.tissues, moment.at_min, None
    if problem_min > 0.0:
        mix = way.gases[way.first].mix
        problem = Leg(LegKind.BOTTOM, moment.at_m, moment.at_m, moment.at_min, problem_min, mix)
        start_min = problem.end_min
        (tension,) = tensions_at([problem], [start_min], plan.settings, plan.water, tissues)
        tissues = _tissues(tension.tolist())
    solution = solve_ascent(
        moment.at_m,
        start_min,
        way.first,
        way.gases,
        way.rungs,
        plan.settings,
        plan.water,
        tissues,
        first_stop_m=moment.first_stop_m,
    )
    return Bailout(moment, way.gases, way.first, way.rungs, problem, solution)


def _tissues(tension_bar: list[float]) -> Tissues:
    return Tissues(tuple(tension_bar[:COMPARTMENTS]), tuple(tension_bar[COMPARTMENTS:]))


@dataclass(frozen=True, slots=True)
class Way:
    """Which bailout gas is breathed where.

    Parameters
    ----------
    gases
        What is carried for it, as the ladder numbers it.
    first
        The number of the gas that is taken first.
    rungs
        The gas at each level.
    """

    gases: tuple[AscentGas, ...]
    first: int
    rungs: Ladder


def bailout_way(plan: Plan, at_m: float, *, lost: Collection[Mixture] = ()) -> Way:
    """Return which bailout gas is breathed where on the way up from a depth.

    Parameters
    ----------
    plan
        A plan on a closed circuit.
    at_m
        Where the loop is left [m].
    lost
        Bailout gases that are not at hand.

    Returns
    -------
    Way
        At each level the richest gas that may be breathed there and up to the next.

    Raises
    ------
    NoSafeAnswer
        If there is nothing to breathe somewhere on the way.
    """
    hands = bailout_hands(plan, lost)
    first = _first(plan, hands, at_m)
    try:
        return Way(hands, first, ladder(hands, first, at_m, plan.settings))
    except NothingToBreathe as gap:
        raise NoSafeAnswer(_gap(plan, hands, gap.from_m, gap.to_m)) from None


def first_stretch_m(plan: Plan, from_m: float) -> float:
    """Return the depth up to which the gas that is taken first must be breathable [m].

    Parameters
    ----------
    plan
        The plan, for its levels.
    from_m
        Where the loop is left [m].

    Returns
    -------
    float
        From between levels the level above, from a level the next; from above the last stop the
        surface [m].
    """
    step_m = plan.settings.stop_step_m
    last = last_level_from(from_m, plan.settings)
    top = math.floor(from_m / step_m + NEAR_M)
    first_level = top if top >= last > 0 else 0
    if from_m - first_level * step_m > NEAR_M:
        return first_level * step_m
    return level_above(first_level, last) * step_m


def _first(plan: Plan, hands: tuple[AscentGas, ...], from_m: float) -> int:
    to_m = first_stretch_m(plan, from_m)
    fit = [i for i, gas in enumerate(hands) if breathable(gas, from_m, to_m)]
    if not fit:
        raise NoSafeAnswer(_gap(plan, hands, from_m, to_m))
    return max(fit, key=lambda i: (hands[i].mix.o2, -i))


def _gap(plan: Plan, hands: tuple[AscentGas, ...], from_m: float, to_m: float) -> Reason:
    units = plan.units
    told = ", ".join(
        f"{gas.mix} from {say.no_shallower(gas.shallowest_m, units)} to "
        f"{say.no_deeper(gas.deepest_m, units)}"
        for gas in hands
    )
    place = "the surface" if to_m <= NEAR_M else say.depth(to_m, units)
    right = say.oxygen_between(
        best_oxygen_at(to_m, plan.rules.floor_bar, plan.water),
        best_oxygen_at(from_m, plan.rules.ppo2_stop_max_bar, plan.water),
    )
    return Reason(
        f"after a failure of the loop there is nothing to breathe from {say.depth(from_m, units)} "
        f"up to {place}; for bailout there is {told or 'nothing'} ({floor_words(plan)}; house rule "
        "ppo2_stop_max_bar)",
        f"a bailout gas with {right}" if right else "several bailout gases that cover it",
    )
