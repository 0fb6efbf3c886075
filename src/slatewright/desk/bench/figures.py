"""The figures of a dive that a reader looks for first, each with its working."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen_loop import loop_ppo2_bar
from slatewright.desk.bench.result import Result
from slatewright.desk.workings import Shown
from slatewright.dive import say
from slatewright.dive.breathed import Breathed
from slatewright.dive.loop_gas import breathed_mix
from slatewright.paper.dive_rows import Change, Row, first_stop_m
from slatewright.paper.reading import depth_text, minutes_up
from slatewright.physics.density import molar_mass
from slatewright.physics.limits import oxygen_pressure
from slatewright.physics.units import round_up
from slatewright.physics.water import Water

PPO2: Final = "oxygen-pressure"
LOOP_PPO2: Final = "loop-ppo2"
DENSITY: Final = "gas-density"


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the head.

    Parameters
    ----------
    label
        What it is.
    number
        The number.
    note
        A few words under it.
    caution
        Whether it is over a limit.
    """

    label: str
    number: Shown
    note: str = ""
    caution: bool = False


def figures_of(result: Result, how: str) -> tuple[Figure, ...]:
    """Return the figures of the head.

    Parameters
    ----------
    result
        The dive.
    how
        The path under which its accounts are served.
    """
    dive, plan, units = result.dive, result.dive.plan, result.units
    codes = {hazard.code for hazard in result.hazards if hazard.severity != "note"}
    stop_m = first_stop_m(dive)
    last = plan.levels[-1]
    richest = max(result.along, key=lambda one: max(one.ppo2_start_bar, one.ppo2_end_bar))
    densest = max(
        result.along, key=lambda one: max(one.density_start_g_per_l, one.density_end_g_per_l)
    )
    cns_pct, otu = dive.oxygen.cns_pct, dive.oxygen.otu
    return (
        Figure(
            "run time",
            Shown(str(minutes_up(dive.runtime_min)), "min", account=f"{how}/runtime"),
            f"bottom left at {last.leave_at_min:g} min",
        ),
        Figure(
            "first stop",
            Shown("none", account=f"{how}/first-stop")
            if stop_m is None
            else Shown(depth_text(stop_m, units), units.depth_unit, account=f"{how}/first-stop"),
            f"gradient {plan.settings.gradient_low * 100:g}/{plan.settings.gradient_high * 100:g}",
        ),
        Figure(
            "CNS share",
            Shown(str(round(round_up(cns_pct))), "%", account=f"{how}/cns")
            if math.isfinite(cns_pct)
            else Shown("off the table", account=f"{how}/cns"),
            f"carried in {plan.carried.cns_pct:.0f} %" if plan.carried else "on surfacing",
            "cns" in codes,
        ),
        Figure(
            "lungs",
            Shown(str(round(round_up(otu))), "OTU", account=f"{how}/otu"),
            "today, on surfacing",
            "pulmonary" in codes,
        ),
        Figure(
            "highest ppO2",
            ppo2_shown(richest.leg, deepest_of(richest), plan.water),
            f"{name_of(richest.leg)} at {depth_text(deepest_of(richest), units)} "
            f"{units.depth_unit}",
            "hyperoxic" in codes,
        ),
        Figure(
            "densest gas",
            density_shown(result, densest),
            f"{name_of(densest.leg)} at {depth_text(deepest_of(densest), units)} "
            f"{units.depth_unit}",
            "dense-gas" in codes,
        ),
    )


def deepest_of(one: Breathed) -> float:
    """Return the greater depth of a leg [m].

    Parameters
    ----------
    one
        What is breathed in it.
    """
    return max(one.leg.from_m, one.leg.to_m)


def name_of(breathed: Leg | Row | Change) -> str:
    """Return what is breathed: a gas, or a loop by its setpoint, such as ``loop 1.2``.

    Parameters
    ----------
    breathed
        A leg or a line of the schedule.
    """
    if breathed.setpoint_bar is None:
        return str(breathed.gas)
    return f"loop {say.setpoint(breathed.setpoint_bar)}"


def ppo2_shown(breathed: Leg | Row, at_m: float, water: Water) -> Shown:
    """Return a ppO2 with its working, on a closed circuit that of the loop.

    Parameters
    ----------
    breathed, at_m, water
        What is breathed, at which depth [m], in which water.
    """
    diluent_bar = oxygen_pressure(breathed.gas, at_m, water)
    if breathed.setpoint_bar is None:
        values = {
            "o2": breathed.gas.o2,
            "depth_m": at_m,
            "surface_bar": water.surface_bar,
            "bar_per_m": water.bar_per_m,
        }
        return Shown(f"{round_up(diluent_bar, 0.01):.2f}", "bar", PPO2, values)
    values = {
        "diluent_bar": diluent_bar,
        "ambient_bar": water.ambient_bar(at_m),
        "setpoint_bar": breathed.setpoint_bar,
    }
    return Shown(f"{round_up(loop_ppo2_bar(**values), 0.01):.2f}", "bar", LOOP_PPO2, values)


def density_shown(result: Result, one: Breathed) -> Shown:
    """Return the highest density of a leg with its working, on a closed circuit that of the loop.

    Parameters
    ----------
    result
        The dive.
    one
        What is breathed in the leg.
    """
    plan = result.dive.plan
    breathed = breathed_mix(one.leg, deepest_of(one), plan.water)
    values = {
        "molar_mass_g_per_mol": molar_mass(breathed),
        "ambient_bar": plan.water.ambient_bar(deepest_of(one)),
        "temperature_c": plan.rules.density_temperature_c,
    }
    highest = max(one.density_start_g_per_l, one.density_end_g_per_l)
    rules = ("density_recommended_g_per_l", "density_max_g_per_l")
    return Shown(f"{round_up(highest, 0.1):.1f}", "g/L", DENSITY, values, rules)
