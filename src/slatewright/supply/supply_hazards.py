"""What is not enough: gas that ends, minimum gas and decompression gas that are not there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from slatewright.dive import mends, say
from slatewright.dive.hazard import Hazard, Mend, Severity
from slatewright.dive.plan import Plan
from slatewright.dive.solving import solve_plan
from slatewright.dive.trials import leaving_earlier
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import volume_left_label, volume_needed_label
from slatewright.supply.consumption import breathed_before_mol, when_breathed
from slatewright.supply.kit import Diver, Team, TurnRule
from slatewright.supply.matching import DiverSupply, Matched
from slatewright.supply.more_gas import more_gas
from slatewright.supply.reserves import MinimumGas, minimum_gases, sharing_l_per_min
from slatewright.supply.stores import available_mol, stores_of

_ORDER: Final = {Severity.DANGER: 0, Severity.WARNING: 1, Severity.NOTE: 2}
_SLACK_MOL: Final = 1e-6


def supply_hazards(dive: Matched) -> list[Hazard]:
    """Return the hazards of a dive's gas, the most severe first, then by run time.

    Parameters
    ----------
    dive
        The dive with its team.
    """
    rules = (_ends, _below_minimum, _turns_early, _decompression, _alone, _temperature)
    found = [hazard for rule in rules for hazard in rule(dive)]
    return sorted(found, key=lambda hazard: (_ORDER[hazard.severity], hazard.at_min))


def _who(dive: Matched, diver: Diver, verb: str = "has") -> str:
    """Return the subject of a sentence: the name, if there is more than one."""
    return f"{diver.name} {verb}" if len(dive.divers) > 1 else f"the diver {verb}"


def _needed(dive: Matched, mix: Mixture, amount_mol: float) -> str:
    return volume_needed_label(free_litres(mix, amount_mol), dive.plan.units)


def _left(dive: Matched, mix: Mixture, amount_mol: float) -> str:
    return volume_left_label(free_litres(mix, max(0.0, amount_mol)), dive.plan.units)


def _ends(dive: Matched) -> Iterator[Hazard]:
    """Find cylinders that cannot give what the dive needs."""
    units = dive.plan.units
    for own in dive.divers:
        for cylinder in own.cylinders:
            use = cylinder.use
            if use.out_min is None or use.out_m is None:
                continue
            mix = use.carried.mix
            kept = own.kept_of(mix)
            lacking_mol = kept.before_mol + kept.after_mol - kept.available_mol
            yield Hazard(
                "out-of-gas",
                Severity.DANGER,
                use.out_min,
                use.out_m,
                f"{_who(dive, own.diver)} no {mix} from {use.out_min:.0f} min on, at "
                f"{say.depth(use.out_m, units)}: the dive as planned needs "
                f"{_needed(dive, mix, lacking_mol)} more than can be breathed",
                "nothing has failed yet, and there is nothing to breathe",
                f"{_needed(dive, mix, kept.needed_mol - kept.available_mol)} more of {mix}, "
                "reserves included, or a shorter dive",
                mends=_more(dive, own, mix, kept.needed_mol - kept.available_mol),
            )


def _more(dive: Matched, own: DiverSupply, mix: Mixture, lacking_mol: float) -> tuple[Mend, ...]:
    return more_gas(own.diver, mix, lacking_mol, dive.team, dive.plan.water)


def _below_minimum(dive: Matched) -> Iterator[Hazard]:
    """Find stays that are left with less than brings two to the next gas."""
    units = dive.plan.units
    earlier: Plan | None = None
    for own in dive.divers:
        short = [(lack, row) for row in dive.stays if (lack := _lacking_mol(dive, own, row)) > 0.0]
        if not short:
            continue
        lacking_mol, row = max(short, key=lambda pair: pair[0])
        need_mol = row.amount_mol(own.sharing_l_per_min)
        earlier = earlier or _leaving_earlier(dive)
        to = f"{row.next_mix} at {say.depth(row.next_m, units)}" if row.next_mix else "the surface"
        two = "two" if len(dive.divers) > 1 else "one alone"
        yield Hazard(
            "minimum-gas",
            Severity.DANGER,
            row.at_min or 0.0,
            row.at_m,
            f"on leaving {say.depth(row.at_m, units)} at {row.at_min or 0.0:.0f} min "
            f"{_who(dive, own.diver)} {_left(dive, row.mix, need_mol - lacking_mol)} of {row.mix} "
            f"to breathe, and {two} in trouble there need {_needed(dive, row.mix, need_mol)} to "
            f"reach {to}",
            "whoever loses the supply at the worst moment is not brought home by the other",
            f"{_needed(dive, row.mix, lacking_mol)} more of {row.mix}{_or_leave(earlier)}",
            mends=(
                *_more(dive, own, row.mix, lacking_mol),
                *(() if earlier is None else (mends.leave_at(earlier),)),
            ),
        )


def _lacking_mol(dive: Matched, own: DiverSupply, row: MinimumGas) -> float:
    """Return what is lacking to a diver when a stay is left; 0 if nothing is."""
    plan, team = dive.plan, dive.team
    breathed = breathed_before_mol(
        dive.legs,
        own.diver,
        team.rules,
        plan.water,
        team.water_temperature_k,
        until_min=row.at_min or 0.0,
    )
    have_mol = own.kept_of(row.mix).available_mol - breathed.get(row.mix, 0.0)
    lacking_mol = row.amount_mol(own.sharing_l_per_min) - have_mol
    return lacking_mol if lacking_mol > _SLACK_MOL else 0.0


def _leaving_earlier(dive: Matched) -> Plan | None:
    """Return the plan that leaves the last stay as late as there is enough for two."""
    return leaving_earlier(dive.plan, lambda plan: _enough_for_two(plan, dive.team))


def _or_leave(earlier: Plan | None) -> str:
    """Return by when the last stay would have to be left, as the end of a sentence."""
    if earlier is None:
        return ""
    last = earlier.levels[-1]
    return f", or leave {say.depth(last.depth_m, earlier.units)} by {last.leave_at_min:.0f} min"


def _enough_for_two(plan: Plan, team: Team) -> bool:
    """Tell whether a plan leaves each stay with the minimum gas."""
    kelvin = team.water_temperature_k
    try:
        legs = solve_plan(plan).solution.legs
        rows = minimum_gases(plan, team.rules, kelvin)[: len(plan.levels)]
    except NoSafeAnswer:
        return False
    for i, diver in enumerate(team.divers):
        stores = stores_of(diver, team.rules, plan.water, kelvin)
        rate = sharing_l_per_min(team.divers, i)
        for row in rows:
            breathed = breathed_before_mol(
                legs, diver, team.rules, plan.water, kelvin, until_min=row.at_min or 0.0
            )
            (held_mol,) = available_mol(stores, (row.mix,))
            if held_mol - breathed.get(row.mix, 0.0) < row.amount_mol(rate) - _SLACK_MOL:
                return False
    return True


def _turns_early(dive: Matched) -> Iterator[Hazard]:
    """Find a stay that is longer than the rule of turning allows."""
    rule, mix = dive.team.rules.turn_rule, dive.turn_mix
    if rule is TurnRule.ALL_USABLE:
        return  # then the turn is the minimum gas
    own = next(own for own in dive.divers if own.turn.decides)
    planned_mol = own.kept_of(mix).before_mol
    out_and_back_mol = 2.0 * own.turn.use_mol
    if planned_mol <= out_and_back_mol + _SLACK_MOL or not own.turn.usable_mol > 0.0:
        return
    reached = when_breathed(
        dive.legs,
        own.diver,
        dive.team.rules,
        dive.plan.water,
        mix,
        out_and_back_mol,
        water_temperature_k=dive.team.water_temperature_k,
    )
    at_min, at_m = reached or (dive.plan.levels[-1].leave_at_min, dive.plan.levels[-1].depth_m)
    yield Hazard(
        "turn-rule",
        Severity.WARNING,
        at_min,
        at_m,
        f"by the rule of {rule} {_who(dive, own.diver)} "
        f"{_left(dive, mix, out_and_back_mol)} of {mix} for the way out and back, and the stay "
        f"takes {_needed(dive, mix, planned_mol)}",
        "the least well supplied decides for all, and the rule is what brings the other back",
        f"{_needed(dive, mix, planned_mol - out_and_back_mol)} less breathed, a shorter stay, or "
        "more gas",
    )


def _decompression(dive: Matched) -> Iterator[Hazard]:
    """Find decompression gas with less than the factor asks for."""
    factor = dive.team.rules.decompression_factor
    for own in dive.divers:
        for kept in own.kept:
            planned_mol = kept.before_mol + kept.after_mol
            lacking_mol = kept.needed_mol - kept.available_mol
            ends = planned_mol > kept.available_mol + _SLACK_MOL  # told of as out of gas
            if not kept.factor_mol > 0.0 or lacking_mol <= _SLACK_MOL or ends:
                continue
            first = next(
                leg
                for leg in dive.legs
                if leg.gas == kept.mix and leg.end_min > dive.plan.levels[-1].leave_at_min
            )
            yield Hazard(
                "decompression-reserve",
                Severity.WARNING,
                first.start_min,
                first.from_m,
                f"{_who(dive, own.diver)} {_left(dive, kept.mix, kept.available_mol)} of "
                f"{kept.mix} to breathe; the dive takes {_needed(dive, kept.mix, planned_mol)}, "
                f"with {factor:g} times the gas for decompression "
                f"{_needed(dive, kept.mix, kept.needed_mol)}",
                "a regulator that blows off, a stop that is lengthened or a partner who has lost "
                "this gas is not in the plan",
                f"{_needed(dive, kept.mix, lacking_mol)} more of {kept.mix}",
                mends=_more(dive, own, kept.mix, lacking_mol),
            )


def _alone(dive: Matched) -> Iterator[Hazard]:
    """Say so where the minimum gas is for one."""
    if len(dive.divers) > 1:
        return
    worst = dive.stays[0]
    yield Hazard(
        "one-diver",
        Severity.NOTE,
        worst.at_min or 0.0,
        worst.at_m,
        "the file names no partner: minimum gas is counted for one diver, and nobody shares",
        "with a partner each must carry what brings both home",
        "name the others of the team as [[partner]]",
    )


def _temperature(dive: Matched) -> Iterator[Hazard]:
    """Say so where gas is counted at an assumed temperature."""
    if dive.team.water_temperature_k is not None:
        return
    yield Hazard(
        "water-temperature",
        Severity.NOTE,
        0.0,
        0.0,
        "the file gives no temperature of the water: gas is counted at 20 degC",
        "in water of 4 degC a breath takes 6 % more gas, and a full gauge shows less",
        "name the temperature in [water]",
    )
