"""From dives to the fills that they need: whose cylinders, with what, what comes back in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from slatewright.fill.assignment import Need, Owned
from slatewright.fill.receiver import Receiver, holding
from slatewright.fill.state import REFERENCE_K
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.isotherm import isotherm
from slatewright.physics.mixture import AIR
from slatewright.supply.consumption import CylinderUse
from slatewright.supply.loop_divers import whole_kit
from slatewright.supply.loop_supply import LoopSupply
from slatewright.supply.matching import Matched


def needs_of(
    supply: Matched,
    dive: int,
    reference_temperature_k: float = REFERENCE_K,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> tuple[Need, ...]:
    """Return the fills that a dive needs.

    Parameters
    ----------
    supply
        The gas of the dive, for the whole team.
    dive
        Which dive, in order of time, counted from 1.
    reference_temperature_k
        For which settled pressures are told [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].

    Returns
    -------
    tuple
        One need a cylinder. What is left is told at the reference temperature: what comes back
        from cold water reads more in the warm room.
    """
    uses = [(d.diver.name, each.use) for d in supply.divers for each in d.cylinders]
    return needs_of_uses(uses, dive, reference_temperature_k, surface_bar)


def needs_of_loop(
    supply: LoopSupply,
    dive: int,
    reference_temperature_k: float = REFERENCE_K,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> tuple[Need, ...]:
    """Return the fills that a dive on a closed circuit needs.

    Parameters
    ----------
    supply
        The gas of the dive, for the whole team.
    dive
        Which dive, in order of time, counted from 1.
    reference_temperature_k
        For which settled pressures are told [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].

    Returns
    -------
    tuple
        One need a cylinder; bailout comes back as it went, for as long as nobody needs it.
    """
    uses = [
        (own.diver.name, use)
        for own in supply.divers
        for use in whole_kit(own.diver, own.cylinders)
    ]
    return needs_of_uses(uses, dive, reference_temperature_k, surface_bar)


def needs_of_uses(
    uses: Iterable[tuple[str, CylinderUse]],
    dive: int,
    reference_temperature_k: float = REFERENCE_K,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> tuple[Need, ...]:
    """Return the fills for what a dive does to cylinders.

    Parameters
    ----------
    uses
        Whose cylinder, and what the dive does to it.
    dive
        Which dive, in order of time, counted from 1.
    reference_temperature_k
        For which settled pressures are told [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].

    Returns
    -------
    tuple
        One need a cylinder, in their order.
    """
    return tuple(
        _need(owner, use, dive, reference_temperature_k, surface_bar) for owner, use in uses
    )


def _need(
    owner: str, use: CylinderUse, dive: int, reference_temperature_k: float, surface_bar: float
) -> Need:
    carried = use.carried
    line = isotherm(carried.mix, reference_temperature_k)
    volume_l = carried.cylinder.water_volume_l
    held_mol = [max(0.0, use.start.amount_mol), max(0.0, use.end.amount_mol)]
    start_bar, end_bar = line.pressure_bar([mol / volume_l for mol in held_mol]) - surface_bar
    left_bar = min(max(0.0, end_bar), start_bar)
    return Need(dive, owner, carried.cylinder, carried.mix, float(start_bar), float(left_bar))


def owned_for(needs: Sequence[Need]) -> tuple[Owned, ...]:
    """Return the cylinders that people need at least, where nobody says what they own.

    Parameters
    ----------
    needs
        What is needed.

    Returns
    -------
    tuple
        As many of each size and owner as one dive needs, with air in them and nothing on the gauge.
    """
    most: dict[tuple[str, str], list[Need]] = {}
    for owner, name, dive in {(n.owner, n.cylinder.name, n.dive) for n in needs}:
        same = [n for n in needs if (n.owner, n.cylinder.name, n.dive) == (owner, name, dive)]
        if len(same) > len(most.get((owner, name), ())):
            most[owner, name] = same
    return tuple(
        Owned(
            owner,
            Receiver(
                f"{owner}, {name} {number}",
                need.cylinder,
                holding(need.cylinder, AIR, 0.0, REFERENCE_K),
                oxygen_clean=True,
            ),
        )
        for (owner, name), same in sorted(most.items())
        for number, need in enumerate(same, 1)
    )
