"""Which gas may be breathed where, with what is left: ladders for sets of gases, made once each.

Four readings of the limits, tried in this order:

- as planned: each decompression gas from the depth that the plan chose; travel gases not at all;
- as deep as the limits allow: every gas that is carried, within its own ppO2 limit and the floor of
  the house rules;
- the same, and where nothing may be breathed so, what the allowances of an emergency permit
  (`slatewright.supply.wayhome.rules`);
- every gas as deep as those allowances permit.

A hypoxic gas never replaces a lost one above its floor: where no gas of a set may be breathed, no
ascent from that level or below is offered.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from slatewright.decompression.ladder import AscentGas, Ladder, breathable, level_above
from slatewright.dive.gases import OXYGEN_FROM, Locker, deepest_m
from slatewright.dive.plan import Plan
from slatewright.physics.limits import hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.supply.wayhome.rules import WayHomeRules

NO_GAS: Final = -1
_NEAR_M: Final = 1e-6
_NEAR_BAR: Final = 1e-9


class Reading(IntEnum):
    """How the limits of the gases are read."""

    PLANNED = 0
    DEEPEST = 1
    GAPS = 2
    EMERGENCY = 3

    @property
    def windows(self) -> tuple[Reading, ...]:
        """The readings in which a gas is looked for, one after the other."""
        if self is Reading.GAPS:
            return (Reading.DEEPEST, Reading.EMERGENCY)
        return (self,)


@dataclass(frozen=True, eq=False)
class Rungs:
    """The gas of each level for one set of gases under one reading of the limits.

    Parameters
    ----------
    index
        Its place in its book.
    number
        The number of its ladder in the book; sets that lead to the same ladder share one.
    gases
        Indices of the gases of the set.
    reading
        How the limits are read.
    leads_up
        Shape (levels,): True for a level from which there is a gas for each level up to the
        surface.
    gap_from_m, gap_to_m
        The stretch without gas that ends shallowest [m]; not a number if there is none.
    over_bar, under_bar
        Shape (levels,): by how much an ascent from a level goes over the house rules' ppO2 limit,
        and below their floor; 0 where it does not [bar].
    """

    index: int
    number: int
    gases: frozenset[int]
    reading: Reading
    leads_up: NDArray[np.bool_]
    gap_from_m: float
    gap_to_m: float
    over_bar: NDArray[np.float64]
    under_bar: NDArray[np.float64]


class LadderBook:
    """All ladders of a grid.

    Parameters
    ----------
    plan, gases
        The plan and its gases.
    rules
        What an emergency allows.
    top_level
        The deepest level of any ascent.
    """

    def __init__(self, plan: Plan, gases: Locker, rules: WayHomeRules, top_level: int) -> None:
        self.plan = plan
        self.mixes = gases.mixes
        self.top = top_level
        self.last = min(plan.settings.last_level, top_level)
        self.hands = {
            Reading.PLANNED: gases.rising,
            Reading.DEEPEST: tuple(_within_limits(plan, gas) for gas in gases.rising),
            Reading.EMERGENCY: tuple(_in_emergency(plan, gas, rules) for gas in gases.rising),
        }
        step_m = plan.settings.stop_step_m
        self._ends = [(lev * step_m, self._above(lev) * step_m) for lev in range(top_level + 1)]
        self._fits = {
            reading: [[breathable(hand, *ends) for ends in self._ends] for hand in hands]
            for reading, hands in self.hands.items()
        }
        self._o2 = np.array([mix.o2 for mix in self.mixes])
        self._limit_bar = np.array([limit_of(plan, mix) for mix in self.mixes])
        self._over, self._under = self._beyond_rules()
        self.every: list[Rungs] = []
        self._made: dict[tuple[frozenset[int], Reading], Rungs] = {}
        self._numbers: dict[Ladder, int] = {}
        self._without: dict[int, list[int]] = {}
        self._filled = np.zeros((0, top_level + 1), dtype=np.int64)

    @property
    def ladders(self) -> tuple[Ladder, ...]:
        """All ladders made so far, by number."""
        return tuple(self._numbers)

    @property
    def gas_at_level(self) -> NDArray[np.int64]:
        """Shape (ladders, levels): the gas of each level, that of the next deeper one if none."""
        if len(self._filled) < len(self._numbers):
            new = [_filled(ladder.gas_at_level) for ladder in self.ladders[len(self._filled) :]]
            self._filled = np.array([*self._filled.tolist(), *new], dtype=np.int64)
        return self._filled

    def rungs(self, wanted: frozenset[int], reading: Reading) -> Rungs:
        """Return the ladder of a set of gases, made at the first call.

        Parameters
        ----------
        wanted
            Indices of the gases.
        reading
            How the limits are read.
        """
        key = (wanted, reading)
        if key not in self._made:
            self._made[key] = self._make(wanted, reading)
            self.every.append(self._made[key])
        return self._made[key]

    def close(self, rungs: Rungs) -> None:
        """Make all sets that a set becomes when gases are taken out one by one.

        Parameters
        ----------
        rungs
            The set.
        """
        if rungs.index not in self._without:
            less = [self.rungs(rungs.gases - {i}, rungs.reading) for i in range(len(self.mixes))]
            self._without[rungs.index] = [each.index for each in less]
            for each in less:
                self.close(each)

    def without(self, rungs: Rungs) -> list[int]:
        """Return the places of a set without each of the gases, its own for one that is not in it.

        Parameters
        ----------
        rungs
            The set; one that was not closed stays what it is.
        """
        return self._without.get(rungs.index, [rungs.index] * len(self.mixes))

    def start_gases(
        self,
        sets: Sequence[Rungs],
        mouth: NDArray[np.int64],
        depth_m: NDArray[np.float64],
        reach_m: NDArray[np.float64],
    ) -> NDArray[np.int64]:
        """Return what is breathed when ascents begin: the gas in the mouth if it is at hand.

        Parameters
        ----------
        sets
            The sets of gases at hand.
        mouth
            Shape (n,): index of the gas in the mouth, lost or not.
        depth_m, reach_m
            Shape (n,): the depth, and the first level on the way up [m].

        Returns
        -------
        ndarray
            Shape (sets, n): that gas, or the richest at hand that may be breathed there, or -1.
        """
        start = np.full((len(sets), mouth.size), NO_GAS)
        by_o2 = sorted(range(len(self.mixes)), key=lambda i: self.mixes[i].o2)
        for reading in {rungs.reading for rungs in sets}:
            here = [place for place, rungs in enumerate(sets) if rungs.reading is reading]
            has = np.array([[i in sets[place].gases for i in sorted(by_o2)] for place in here])
            gas = start[here]
            for window in reversed(reading.windows):
                for i in by_o2:
                    hand = self.hands[window][i]
                    fits = hand.deepest_m >= depth_m - _NEAR_M
                    fits &= hand.shallowest_m <= reach_m + _NEAR_M
                    gas[has[:, i, np.newaxis] & fits] = i
            # the plan put the gas into the mouth: only the allowance, and its floor, speak against
            lean = Reading.EMERGENCY if reading >= Reading.GAPS else Reading.DEEPEST
            shallowest = np.array([hand.shallowest_m for hand in self.hands[lean]])
            deepest = np.array([hand.deepest_m for hand in self.hands[Reading.EMERGENCY]])
            stays = shallowest[mouth] <= reach_m + _NEAR_M
            stays &= deepest[mouth] >= depth_m - _NEAR_M
            start[here] = np.where(has[:, mouth] & stays, mouth, gas)
        return start

    def over_limit_bar(
        self, gas: NDArray[np.int64], depth_m: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """Return by how much gases are over their ppO2 limit at depths, 0 within tolerance.

        Parameters
        ----------
        gas, depth_m
            Shape (n,): indices, and depths [m].

        Returns
        -------
        ndarray
            Shape (n,) [bar].
        """
        water, rules = self.plan.water, self.plan.rules
        ppo2 = self._o2[gas] * (water.surface_bar + depth_m * water.bar_per_m)
        over = ppo2 - self._limit_bar[gas]
        return np.where(over > rules.ppo2_tolerance_bar + _NEAR_BAR, over, 0.0)

    def under_floor_bar(
        self, gas: NDArray[np.int64], depth_m: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """Return by how much gases are below the floor at depths, 0 where they are not.

        Parameters
        ----------
        gas, depth_m
            Shape (n,): indices, and depths [m].

        Returns
        -------
        ndarray
            Shape (n,) [bar].
        """
        water = self.plan.water
        ppo2 = self._o2[gas] * (water.surface_bar + depth_m * water.bar_per_m)
        under = self.plan.rules.floor_bar - ppo2
        return np.where(under > _NEAR_BAR, under, 0.0)

    def _above(self, level: int) -> int:
        """Return the next level; an ascent from above the last stop makes no stop further up."""
        return level_above(level, self.last) if level >= self.last else 0

    def _along(self, values: NDArray[Any]) -> NDArray[Any]:
        """Return for each level the largest value on the way up from it; the surface has none."""
        on_way: NDArray[Any] = values.copy()
        on_way[0] = 0
        on_way[self.last :] = np.maximum.accumulate(on_way[self.last :])
        return on_way

    def _make(self, wanted: frozenset[int], reading: Reading) -> Rungs:
        gas_at = [NO_GAS] * (self.top + 1)
        gap = (np.nan, np.nan)
        mouth = NO_GAS
        by_o2 = sorted(wanted, key=lambda i: (-self.mixes[i].o2, i))
        windows = [[(i, self._fits[window][i]) for i in by_o2] for window in reading.windows]
        for level in range(self.top, 0, -1):
            gas_at[level] = self._richest(windows, mouth, level)
            if level >= self.last:
                mouth = gas_at[level]
                if mouth == NO_GAS:
                    from_m, to_m = self._ends[level]
                    gap = (gap[0] if gap[1] == from_m else from_m, to_m)
        ladder = Ladder(tuple(gas_at), self._pauses(reading, gas_at, wanted))
        gases, levels = np.array(gas_at), np.arange(self.top + 1)
        breathed = gases != NO_GAS
        return Rungs(
            index=len(self.every),
            number=self._numbers.setdefault(ladder, len(self._numbers)),
            gases=wanted,
            reading=reading,
            leads_up=self._along(~breathed) == 0,
            gap_from_m=gap[0],
            gap_to_m=gap[1],
            over_bar=self._along(np.where(breathed, self._over[gases, levels], 0.0)),
            under_bar=self._along(np.where(breathed, self._under[gases, levels], 0.0)),
        )

    def _richest(
        self, windows: Sequence[Sequence[tuple[int, Sequence[bool]]]], mouth: int, level: int
    ) -> int:
        """Return the richest gas at hand from a level to the next one, as the solver's ladder.

        For each window: the gases at hand with the levels where each fits, the richest first. Of
        equally rich ones that in the mouth goes on.
        """
        for gases in windows:
            found = NO_GAS
            for i, fits in gases:
                if not fits[level]:
                    continue
                if found == NO_GAS:
                    found = i
                elif self.mixes[i].o2 < self.mixes[found].o2:
                    break
                elif i == mouth:
                    return mouth
            if found != NO_GAS:
                return found
        return NO_GAS

    def _pauses(
        self, reading: Reading, gas_at: Sequence[int], wanted: frozenset[int]
    ) -> tuple[int, ...]:
        """Return the gas for breaks at each level: the plan's if it is at hand, else the leanest.

        Where no gas at hand fits, there are no breaks: an emergency does not wait for them.
        """
        none = (NO_GAS,) * len(gas_at)
        if self.plan.settings.breaks is None:
            return none
        on_oxygen = [
            level
            for level, gas in enumerate(gas_at)
            if gas != NO_GAS and self.mixes[gas].o2 >= OXYGEN_FROM
        ]
        fits = self._fits[reading.windows[0]]
        fit = [
            i
            for i in sorted(wanted)
            if self.mixes[i].o2 < OXYGEN_FROM and all(fits[i][level] for level in on_oxygen)
        ]
        if not on_oxygen or not fit:
            return none
        leanest = min(fit, key=lambda i: self.mixes[i].o2)
        pause = next((i for i in fit if self.mixes[i] == self.plan.break_gas), leanest)
        return tuple(pause if level in on_oxygen else NO_GAS for level in range(len(gas_at)))

    def _beyond_rules(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return shape (gases, levels): over the limit and below the floor, from level to next."""
        from_m, to_m = (np.array(ends) for ends in zip(*self._ends, strict=True))
        every = range(len(self.mixes))
        over = [self.over_limit_bar(np.full(from_m.size, i), from_m) for i in every]
        under = [self.under_floor_bar(np.full(to_m.size, i), to_m) for i in every]
        return np.array(over), np.array(under)


def limit_of(plan: Plan, mix: Mixture) -> float:
    """Return the highest ppO2 at which a mixture may be breathed for any of its uses [bar].

    Parameters
    ----------
    plan
        The plan.
    mix
        The mixture.
    """
    return max(gas.ppo2_max_bar for gas in plan.gases if gas.mix == mix)


def index_set(mixes: Sequence[Mixture], wanted: Sequence[Mixture]) -> frozenset[int]:
    """Return the indices of some mixtures; those that are not there are left out.

    Parameters
    ----------
    mixes
        All mixtures.
    wanted
        Some of them.
    """
    return frozenset(i for i, mix in enumerate(mixes) if mix in wanted)


def _within_limits(plan: Plan, gas: AscentGas) -> AscentGas:
    deepest = max(deepest_m(plan, held) for held in plan.gases if held.mix == gas.mix)
    return replace(gas, deepest_m=max(deepest, gas.deepest_m))


def _in_emergency(plan: Plan, gas: AscentGas, rules: WayHomeRules) -> AscentGas:
    deepest = operating_depth(gas.mix, rules.emergency_ppo2_bar, plan.water)
    floor_bar = min(rules.emergency_floor_bar, plan.rules.floor_bar)
    return replace(
        gas,
        deepest_m=max(deepest, _within_limits(plan, gas).deepest_m),
        shallowest_m=hypoxic_floor(gas.mix, floor_bar, plan.water),
    )


def _filled(gas_at: Sequence[int]) -> list[int]:
    """Return the gas of each level, where there is none that of the next deeper one that has."""
    filled, held = [], NO_GAS
    for gas in reversed(gas_at):
        held = gas if gas != NO_GAS else held
        filled.append(held)
    return filled[::-1]
