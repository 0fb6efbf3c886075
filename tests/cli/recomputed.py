"""A dive computed again from its JSON document alone, in plain Python, without our package.

Tensions by the equation for linear change of inspired pressure (Schreiner's), written down here
anew; the tolerated line by gradient factors as design and document state it; coefficients and the
oxygen table from the raw values in ``authorities/``.
"""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

AUTHORITIES = Path(__file__).parents[2] / "authorities"
VAPOUR_BAR = 0.0627
ATM_BAR = 1.01325


def rows_of(name):
    lines = (AUTHORITIES / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def coefficients(model):
    """Return half-time, a, b of nitrogen and of helium for sixteen compartments, 1b first."""
    column = f"a_{model[-1]}"
    n2 = [r for r in rows_of("zhl16_n2.csv") if r["comp"] != "1"]
    he = [r for r in rows_of("zhl16_he.csv") if r["comp"] != "1"]
    return (
        [(float(r["half_time_min"]), float(r[column]), float(r["b"])) for r in n2],
        [(float(r["half_time_min"]), float(r["a"]), float(r["b"])) for r in he],
    )


class Dive:
    def __init__(self, document):
        self.document = document
        self.surface_bar = document["water"]["surface_bar"]
        self.bar_per_m = document["water"]["bar_per_m"]
        self.model = document["model"]
        self.n2, self.he = coefficients(self.model["name"])
        start = document.get("start_tensions_bar")
        air_bar = (self.surface_bar - VAPOUR_BAR) * self.model["air_n2"]
        self.start = (start["n2"], start["he"]) if start else ([air_bar] * 16, [0.0] * 16)

    def ambient_bar(self, depth_m):
        return self.surface_bar + depth_m * self.bar_per_m

    def tensions(self):
        """Yield each leg with the tensions of nitrogen and helium at its end."""
        held = [list(gas) for gas in self.start]
        for leg in self.document["legs"]:
            fractions = (1.0 - leg["o2"] - leg["he"], leg["he"])
            for gas, fraction, table in zip((0, 1), fractions, (self.n2, self.he), strict=True):
                for i, (half_time_min, _, _) in enumerate(table):
                    held[gas][i] = self._after(leg, fraction, half_time_min, held[gas][i])
            yield leg, [list(gas) for gas in held]

    def _after(self, leg, fraction, half_time_min, tension_bar):
        k = math.log(2.0) / half_time_min
        for low, high in pairwise(self._corners(leg)):
            first, last = (self._inspired_bar(leg, share, fraction) for share in (low, high))
            t = leg["minutes"] * (high - low)
            rate = (last - first) / t
            tension_bar = (
                first + rate * (t - 1 / k) - (first - tension_bar - rate / k) * math.exp(-k * t)
            )
        return tension_bar

    def _inspired_bar(self, leg, share, fraction):
        """Return the inspired pressure of an inert gas after a share of a leg.

        On a closed circuit what is not the setpoint is inert, never more than the diluent brings.
        """
        depth_m = leg["from_m"] + (leg["to_m"] - leg["from_m"]) * share
        dry_bar = self.ambient_bar(depth_m) - VAPOUR_BAR
        if leg["setpoint_bar"] is None:
            return dry_bar * fraction
        inert_bar = max(0.0, min(dry_bar - leg["setpoint_bar"], dry_bar * (1.0 - leg["o2"])))
        return inert_bar * fraction / (1.0 - leg["o2"])

    def _corners(self, leg):
        """Return the shares of a leg between which the inspired pressure is a straight line."""
        first, last = (self.ambient_bar(leg[end]) for end in ("from_m", "to_m"))
        found = {0.0, 1.0}
        if leg["setpoint_bar"] is not None and first != last:
            for dry_bar in (leg["setpoint_bar"], leg["setpoint_bar"] / leg["o2"]):
                share = (dry_bar + VAPOUR_BAR - first) / (last - first)
                if 0.0 < share < 1.0:
                    found.add(share)
        return sorted(found)

    def excess_bar(self, held, depth_m):
        """Return by how much the leading compartment is over the line at a depth."""
        gradient = self.gradient(depth_m)
        ambient = self.ambient_bar(depth_m)
        worst = -math.inf
        for (n2, he), (_, a_n2, b_n2), (_, a_he, b_he) in zip(
            zip(*held, strict=True), self.n2, self.he, strict=True
        ):
            total = n2 + he
            a = (a_n2 * n2 + a_he * he) / total
            b = (b_n2 * n2 + b_he * he) / total
            worst = max(worst, total - ambient - gradient * (a + ambient / b - ambient))
        return worst

    def gradient(self, depth_m):
        low, high, first = (self.model[key] for key in ("gf_low", "gf_high", "first_stop_m"))
        if not first:
            return high
        return high + (low - high) * min(depth_m / first, 1.0)

    def rising(self):
        """Yield leg and tensions from the end of the last stay at the bottom on."""
        legs = list(self.tensions())
        last = max(i for i, (leg, _) in enumerate(legs) if leg["kind"] == "bottom")
        yield from legs[last + 1 :]

    def ppo2_bar(self, leg):
        """Return the ppO2 at both ends of a leg."""
        return [self._held_bar(leg, leg[end]) for end in ("from_m", "to_m")]

    def _held_bar(self, leg, depth_m):
        ambient_bar = self.ambient_bar(depth_m)
        setpoint_bar = leg["setpoint_bar"] or 0.0
        return max(leg["o2"] * ambient_bar, min(setpoint_bar, ambient_bar))

    def oxygen(self, steps_a_min=200):
        """Return the CNS share [%] and the pulmonary dose by summing thin slices."""
        table = [
            (float(r["pO2_atm"]), float(r["single_min"])) for r in rows_of("noaa_oxygen_limits.csv")
        ]
        cns = otu = 0.0
        for leg in self.document["legs"]:
            moves = leg["from_m"] != leg["to_m"]
            steps = max(1, math.ceil(leg["minutes"] * steps_a_min)) if moves else 1
            for i in range(steps):
                depth_m = leg["from_m"] + (leg["to_m"] - leg["from_m"]) * (i + 0.5) / steps
                ppo2 = self._held_bar(leg, depth_m) / ATM_BAR
                minutes = leg["minutes"] / steps
                if ppo2 > 0.5:
                    cns += 100.0 * minutes / limit_min(ppo2, table)
                    otu += minutes * ((ppo2 - 0.5) / 0.5) ** (5 / 6)
        return cns, otu


R_J_PER_MOL_K = 8.314462618
STILL = ("stop",)


class Gas:
    """The gas of a dive from its document: RMV times pressure times time, by the ideal law."""

    def __init__(self, document):
        self.document = document
        self.dive = Dive(document)
        self.rules = document["reserves"]["rules"]
        self.kelvin = document["reserves"]["water_temperature_k"] or 293.15

    def breathed_mol(self, diver):
        """Return the moles of each gas that a diver breathes, the swim before the dive included."""
        sums = {}
        legs = self.document["legs"]
        swim = {**legs[0], "kind": "surface", "to_m": 0.0, "changing_gas": False,
                "minutes": self.rules["surface_swim_min"]}  # fmt: skip
        for leg in (swim, *legs):
            depth_m = (leg["from_m"] + leg["to_m"]) / 2
            litres = self.rmv(diver, leg) * leg["minutes"]
            pascal = self.dive.ambient_bar(depth_m) * 1e5
            mol = pascal * litres / 1000 / (R_J_PER_MOL_K * self.kelvin)
            sums[leg["gas"]] = sums.get(leg["gas"], 0.0) + mol
        return sums

    @staticmethod
    def rmv(diver, leg):
        rmv = diver["rmv_l_per_min"]
        if leg["kind"] in STILL or leg["changing_gas"]:
            return rmv["resting"]
        if leg["kind"] == "bottom" and diver["works_at_depth"]:
            return rmv["working"]
        return rmv["swimming"]


def limit_min(ppo2, table):
    """Interpolate the table; below its first row that row holds, as our documentation says."""
    if ppo2 <= table[0][0]:
        return table[0][1]
    for (x1, y1), (x2, y2) in pairwise(table):
        if ppo2 <= x2:
            return y1 + (y2 - y1) * (ppo2 - x1) / (x2 - x1)
    raise ValueError(f"{ppo2} atm is beyond the table")
