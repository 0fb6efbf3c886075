"""An ascent walked minute by minute with all compartments, written apart from the kernel.

Open circuit only. Nothing of the solver is used but the coefficients: no constants of a plan, no
leading compartment, no remembered exponentials. Slow, and plain enough to be read beside the rules:

- a level is left once the ascent to the next one arrives on or under the line, in whole minutes;
- the line is low at and below the first stop, then linear by depth to high at the surface;
- the first stop is the first level that cannot be left at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from kernel_dives import Case
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.settings import WholeMinutes

SAME = 1e-9


@dataclass
class PlainWalk:
    case: Case
    run_min: float = 0.0
    on_gas_min: float = 0.0
    first_stop: int = 0
    stop_min: dict[int, float] = field(default_factory=dict)

    def __post_init__(self):
        settings = self.case.settings
        self.model = coefficients(settings.model)
        self.rungs = self.case.rungs
        self.step_m = settings.stop_step_m
        self.n2_rate = math.log(2.0) / np.array(self.model.n2_half_time_min)
        self.he_rate = math.log(2.0) / np.array(self.model.he_half_time_min)
        self.n2 = np.array(self.case.tissues.n2_bar)
        self.he = np.array(self.case.tissues.he_bar)
        self.arrived_min = 0.0

    def walk(self):
        for leg in self.case.planned:
            self.n2, self.he = self.after(leg.from_m, leg.to_m, leg.minutes, leg.gas)
            self.run_min += leg.minutes
        depth_m, gas = self.case.from_m, self.case.planned[-1].gas
        level = math.floor(depth_m / self.step_m + 1e-6)
        self.last = min(self.case.settings.last_level, level)
        if depth_m - level * self.step_m > SAME:
            zone_m_per_min = self.case.settings.to_first_stop_m_per_min
            if level == 0:
                zone_m_per_min = self.case.settings.to_surface_m_per_min
            minutes = (depth_m - level * self.step_m) / zone_m_per_min
            self.n2, self.he = self.after(depth_m, level * self.step_m, minutes, gas)
            self.run_min += minutes
        while level > 0:
            gas = self.leave(level, gas)
            level = self.above(level)
        return self

    def leave(self, level, gas):
        """Do all that happens at one level, and rise to the next; return the gas in the mouth."""
        self.arrived_min = self.run_min
        wanted, changed = self.rungs.gas_at_level[level], False
        if wanted != gas:
            minutes = self.case.gases[wanted].change_min
            self.stay(level, minutes, gas)
            gas, self.on_gas_min, changed = wanted, 0.0, minutes > 0.0
        low, high = self.case.settings.gradient_low, self.case.settings.gradient_high
        if not self.first_stop:
            wait_min = self.wait_min() if changed else 0.0
            if self.clears(level, wait_min, gas, low):
                self.stay(level, wait_min, gas)
                self.rise(level, gas)
                return gas
            self.first_stop = level
        gradient = high + (low - high) * self.above(level) / self.first_stop
        pause, mouth = self.rungs.pause_at_level[level], gas
        breaks = self.case.settings.breaks
        while True:
            wait_min = self.wait_min()
            last_minute = 1440
            if mouth != gas:
                last_minute = breaks.off_min
            elif pause >= 0:
                left_min = breaks.on_min - self.on_gas_min - wait_min
                last_minute = max(0, math.floor(left_min + SAME))
            if mouth == gas or breaks.counted:
                for minute in range(last_minute + 1):
                    if self.clears(level, wait_min + minute, mouth, gradient):
                        self.stay(level, wait_min + minute, mouth)
                        self.rise(level, mouth)
                        return mouth
            assert pause >= 0, "the walk does not end"
            assert self.run_min < 3000.0, "the walk does not end"
            idle = mouth != gas and not breaks.counted
            self.stay(level, wait_min + last_minute, mouth, idle=idle)
            mouth, self.on_gas_min = pause if mouth == gas else gas, 0.0

    def wait_min(self):
        """Return the time to the next whole minute, of the run time or since arrival."""
        now_min = self.run_min
        if self.case.settings.whole_minutes is WholeMinutes.ARRIVAL:
            now_min -= self.arrived_min
        return max(0.0, math.ceil(now_min - SAME) - now_min)

    def above(self, level):
        return 0 if level <= self.last else level - 1

    def zone(self, level):
        settings = self.case.settings
        if self.above(level) == 0:
            return settings.to_surface_m_per_min
        if not self.first_stop:
            return settings.to_first_stop_m_per_min
        return settings.between_stops_m_per_min

    def stay(self, level, minutes, gas, *, idle=False):
        if minutes <= 0.0:
            return
        depth_m = level * self.step_m
        n2, he = self.after(depth_m, depth_m, minutes, gas)
        self.n2 = np.maximum(n2, self.n2) if idle else n2
        self.he = np.maximum(he, self.he) if idle else he
        self.run_min += minutes
        self.on_gas_min += minutes
        self.stop_min[level] = self.stop_min.get(level, 0.0) + minutes

    def rise(self, level, gas):
        from_m, to_m = level * self.step_m, self.above(level) * self.step_m
        minutes = (from_m - to_m) / self.zone(level)
        self.n2, self.he = self.after(from_m, to_m, minutes, gas)
        self.run_min += minutes
        self.on_gas_min += minutes

    def clears(self, level, minutes, gas, gradient):
        """Return whether an ascent after a stay arrives on or under the line."""
        depth_m, to_m = level * self.step_m, self.above(level) * self.step_m
        held = self.n2, self.he
        if minutes > 0.0:
            self.n2, self.he = self.after(depth_m, depth_m, minutes, gas)
        n2, he = self.after(depth_m, to_m, (depth_m - to_m) / self.zone(level), gas)
        self.n2, self.he = held
        total = n2 + he
        a = (np.array(self.model.n2_a_bar) * n2 + np.array(self.model.he_a_bar) * he) / total
        b = (np.array(self.model.n2_b) * n2 + np.array(self.model.he_b) * he) / total
        ambient = self.case.water.surface_bar + to_m * self.case.water.bar_per_m
        return bool((total <= ambient + gradient * (a + ambient / b - ambient)).all())

    def after(self, from_m, to_m, minutes, gas):
        """Return tensions after a leg, by Schreiner's equation as it is usually printed."""
        mix, water = self.case.gases[gas].mix, self.case.water
        dry_bar = water.surface_bar + from_m * water.bar_per_m - 0.0627
        bar_per_min = (to_m - from_m) * water.bar_per_m / minutes
        found = []
        for held, k, share in (
            (self.n2, self.n2_rate, 1.0 - mix.o2 - mix.he),
            (self.he, self.he_rate, mix.he),
        ):
            inspired, slope = dry_bar * share, bar_per_min * share
            found.append(
                inspired
                + slope * (minutes - 1.0 / k)
                - (inspired - held - slope / k) * np.exp(-k * minutes)
            )
        return found
