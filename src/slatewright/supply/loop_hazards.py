"""What is not enough on a closed circuit: oxygen, diluent, absorbent, bailout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from slatewright.dive import mends, say
from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.plan import Plan
from slatewright.dive.schedule import Schedule
from slatewright.dive.trials import leaving_earlier, runtime_of
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import volume_left_label, volume_needed_label
from slatewright.supply.kit import Team
from slatewright.supply.loop import feeding_kit, is_oxygen
from slatewright.supply.loop_bailout import open_kit
from slatewright.supply.loop_divers import DiverLoop
from slatewright.supply.more_gas import more_gas

_SLACK_MOL: Final = 1e-6
_SLACK_MIN: Final = 1e-6


def loop_hazards(schedule: Schedule, team: Team, divers: Sequence[DiverLoop]) -> Iterator[Hazard]:
    """Find what is not enough for a dive on a closed circuit.

    Parameters
    ----------
    schedule, team
        The dive and who makes it.
    divers
        Each diver's loop.
    """
    for own in divers:
        who = f"{own.diver.name} has" if len(divers) > 1 else "the diver has"
        yield from _feeding(schedule, team, own, who)
        yield from _scrubber(schedule, own, who)
        yield from _bailout(schedule, team, own, who)
    if team.water_temperature_k is None:
        yield Hazard(
            "water-temperature", Severity.NOTE, 0.0, 0.0,
            "the file gives no temperature of the water: gas is counted at 20 degC, and of what is "
            "stated of the absorbent only what holds in any water",
            "in cold water a breath takes more gas, and absorbent lasts for less",
            "name the temperature in [water]",
        )  # fmt: skip


def _needed(plan: Plan, mix: Mixture, amount_mol: float) -> str:
    return f"{volume_needed_label(free_litres(mix, amount_mol), plan.units)} of {mix}"


def _left(plan: Plan, mix: Mixture, amount_mol: float) -> str:
    return f"{volume_left_label(free_litres(mix, max(0.0, amount_mol)), plan.units)} of {mix}"


def _feeding(schedule: Schedule, team: Team, own: DiverLoop, who: str) -> Iterator[Hazard]:
    """Find oxygen and diluent that end, or that leave less than the factor of reserve."""
    plan, factor = schedule.plan, team.rules.decompression_factor
    total = own.use.total
    for mix, available_mol in own.available_mol.items():
        oxygen = is_oxygen(mix)
        used_mol = total.oxygen_mol if oxygen else total.diluent_mol
        lacking_mol = used_mol - available_mol
        short_mol = factor * used_mol - available_mol
        if short_mol <= _SLACK_MOL:
            continue
        ends = lacking_mol > _SLACK_MOL
        out = next(
            (use for use in own.cylinders if use.carried.mix == mix and use.out_min is not None),
            None,
        )
        at_min = out.out_min if out and out.out_min is not None else 0.0
        at_m = out.out_m if out and out.out_m is not None else 0.0
        name = "oxygen" if oxygen else "diluent"
        what = (
            f"{who} no {name} for the loop from {at_min:.0f} min on, at "
            f"{say.depth(at_m, plan.units)}: the dive as planned takes "
            f"{_needed(plan, mix, used_mol)}, and {_left(plan, mix, available_mol)} can be used"
            if ends
            else f"{who} {_left(plan, mix, available_mol)} for the loop; the dive takes "
            f"{_needed(plan, mix, used_mol)}, and {factor:g} times as much is to be carried"
        )
        yield Hazard(
            "loop-gas", Severity.DANGER if ends else Severity.WARNING, at_min, at_m, what,
            "without oxygen the loop takes consciousness within minutes, without warning"
            if oxygen
            else "without diluent a loop cannot be breathed on a descent, nor flushed",
            f"{_needed(plan, mix, short_mol)} more, or a shorter dive",
            mends=more_gas(feeding_kit(own.diver), mix, short_mol, team, plan.water),
        )  # fmt: skip


def _scrubber(schedule: Schedule, own: DiverLoop, who: str) -> Iterator[Hazard]:
    """Find absorbent that ends, whose reserve is used, or of which nothing is stated."""
    plan, found = schedule.plan, own.scrubber
    taken_min = found.used_min + found.breathed_min
    if found.lasts_min is None:
        yield Hazard(
            "scrubber", Severity.WARNING, schedule.bottom_left_min, plan.deepest_m,
            f"nothing is stated of how long {own.diver.name}'s absorbent lasts {found.work} in "
            "this water",
            "absorbent that is spent lets carbon dioxide through: headache, panic, "
            "unconsciousness, and a bailout that is breathed away twice as fast",
            "an entry in scrubber for this work and water, as the maker states it",
        )  # fmt: skip
        return
    over_min = taken_min - found.lasts_min
    if over_min + found.reserve_min <= _SLACK_MIN:
        return
    ends = over_min > _SLACK_MIN
    begins_min = schedule.runtime_min - max(0.0, over_min if ends else over_min + found.reserve_min)
    kept = "" if ends else f" and {found.reserve_min:g} min are to be kept back"

    def holds(trial: Plan) -> bool:
        runtime_min = runtime_of(trial)
        swim_min = found.breathed_min - schedule.runtime_min
        return (
            runtime_min is not None
            and found.lasts_min is not None
            and found.used_min + swim_min + runtime_min + found.reserve_min
            <= found.lasts_min + _SLACK_MIN
        )

    shorter = leaving_earlier(plan, holds)
    yield Hazard(
        "scrubber", Severity.DANGER if ends else Severity.WARNING,
        begins_min, schedule.depth_at(begins_min),
        f"{who} absorbent for {found.lasts_min:g} min, as is stated for {found.work} in this "
        f"water; it will have been breathed for {taken_min:.0f} min{kept}",
        "absorbent that is spent lets carbon dioxide through: headache, panic, unconsciousness, "
        "and a bailout that is breathed away twice as fast",
        "fresh absorbent"
        if found.used_min > 0.0
        else f"leave {say.depth(shorter.levels[-1].depth_m, plan.units)} at "
        f"{shorter.levels[-1].leave_at_min:.0f} min"
        if shorter
        else "a shorter dive",
        mends=(mends.leave_at(shorter),) if shorter else (),
    )  # fmt: skip


def _bailout(schedule: Schedule, team: Team, own: DiverLoop, who: str) -> Iterator[Hazard]:
    """Find bailout gas that ends before the surface."""
    plan = schedule.plan
    for need in own.bailout:
        if need.enough:
            continue
        yield Hazard(
            "bailout-gas", Severity.DANGER, need.at_min, need.at_m,
            f"{who} not enough {need.mix} if the loop fails at {need.at_min:.0f} min "
            f"({say.depth(need.at_m, plan.units)}): the way home takes "
            f"{_needed(plan, need.mix, need.needed_mol)}, and "
            f"{_left(plan, need.mix, need.available_mol)} can be breathed",
            "one failure, and there is nothing left to breathe before the surface",
            f"{_needed(plan, need.mix, need.lacking_mol)} more, a bailout gas that can be taken "
            "sooner, or a shorter dive",
            ("floor_bar", "ppo2_stop_max_bar"),
            more_gas(open_kit(own.diver), need.mix, need.lacking_mol, team, plan.water),
        )  # fmt: skip
