"""Where more of a gas would go: a fuller cylinder, a larger one, or one more."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final, TypeAlias

from slatewright.dive.hazard import Change, Mend
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import (
    UnitSystem,
    bar_from_psi,
    pressure_needed_label,
    psi_from_bar,
    round_up,
)
from slatewright.physics.water import Water
from slatewright.supply import cylinders
from slatewright.supply.catalogue import catalogue
from slatewright.supply.kit import Diver, KitCylinder, Place, Team
from slatewright.supply.stores import Store, available_mol, stores_of

_SLACK_MOL: Final = 1e-6
_KIND: Final = re.compile(r"^\D*")
Kit: TypeAlias = tuple[KitCylinder, ...]


def more_gas(
    diver: Diver, mix: Mixture, lacking_mol: float, team: Team, water: Water
) -> tuple[Mend, ...]:
    """Return what gives a diver more of a gas.

    Parameters
    ----------
    diver
        One of the team.
    mix
        A gas of the kit.
    lacking_mol
        How much more must be there to breathe [mol].
    team
        Rules of reserve and temperature.
    water
        Pressure at the surface.

    Returns
    -------
    tuple
        A fuller fill, if a cylinder can take it; else a larger cylinder and one more, as far as
        they are enough. Each was tried.
    """

    def stores(kit: Kit) -> tuple[Store, ...]:
        own = replace(diver, kit=kit)
        return stores_of(own, team.rules, water, team.water_temperature_k)

    def available(kit: Kit) -> float:
        (amount_mol,) = available_mol(stores(kit), (mix,))
        return amount_mol

    wanted_mol = available(diver.kit) + lacking_mol

    def is_enough(kit: Kit) -> bool:
        return available(kit) >= wanted_mol - _SLACK_MOL

    held = [store for store in stores(diver.kit) if store.mix == mix]
    fuller = _first(_fuller(diver, store, lacking_mol, water, is_enough) for store in held)
    if fuller:
        return (fuller,)
    larger = _first(_larger(diver, store, is_enough) for store in held)
    another = _another(diver, mix, is_enough)
    return tuple(mend for mend in (larger, another) if mend is not None)


def _first(found: Iterator[Mend | None]) -> Mend | None:
    return next((mend for mend in found if mend is not None), None)


def _fuller(
    diver: Diver,
    store: Store,
    lacking_mol: float,
    water: Water,
    is_enough: Callable[[Kit], bool],
) -> Mend | None:
    kit = list(diver.kit)
    changes = []
    for position, now_mol in zip(store.positions, store.amounts_mol, strict=True):
        held = kit[position]
        amount_mol = now_mol + lacking_mol / len(store.positions)
        try:
            bar = cylinders.gauge_bar(
                held.cylinder, held.mix, amount_mol, held.fill_temperature_k, water.surface_bar
            )
        except InputError:
            return None  # beyond what is known of real gas
        bar = _readable_bar(bar, diver.units)
        if bar > held.cylinder.working_gauge_bar + 1e-6:
            return None
        kit[position] = replace(held, start_gauge_bar=bar)
        changes.append(_of(diver, held, "pressure_{bar}", bar))
    if not is_enough(tuple(kit)):
        return None
    labels = " and ".join(kit[position].label for position in store.positions)
    to = pressure_needed_label(kit[store.positions[0]].start_gauge_bar, diver.units)
    return Mend(f"fill {labels} to {to}", tuple(changes))


def _larger(diver: Diver, store: Store, is_enough: Callable[[Kit], bool]) -> Mend | None:
    now = diver.kit[store.positions[0]]
    kind = _kind(now.cylinder.name)
    sizes = sorted(
        (
            size
            for size in catalogue().values()
            if size.count == now.cylinder.count
            and size.water_volume_l > now.cylinder.water_volume_l
            and ("cuft" in size.name) == ("cuft" in now.cylinder.name)
            and size.working_gauge_bar >= now.start_gauge_bar
        ),
        key=lambda size: (_kind(size.name) != kind, size.water_volume_l),
    )
    for size in sizes:
        kit = list(diver.kit)
        for position in store.positions:
            kit[position] = replace(kit[position], cylinder=size)
        if is_enough(tuple(kit)):
            changes = (_of(diver, diver.kit[at], "size", size.name) for at in store.positions)
            labels = " and ".join(diver.kit[position].label for position in store.positions)
            return Mend(f"carry a {size.name} as {labels}", tuple(changes))
    return None


def _another(diver: Diver, mix: Mixture, is_enough: Callable[[Kit], bool]) -> Mend | None:
    like = next((held for held in reversed(diver.kit) if held.mix == mix), None)
    if like is None:
        return None
    size = like.cylinder if like.cylinder.count == 1 else None
    if size is None:  # a stage beside a pair on the back
        cuft = "cuft" in like.cylinder.name
        size = catalogue()["al 80 cuft" if cuft else "stage 11.1"]
    bar = min(like.start_gauge_bar, size.working_gauge_bar)
    labels = {held.label for held in diver.kit}
    label = next(
        name
        for name in (f"{count} {mix}" for count in ("second", "third", "fourth", "fifth"))
        if name not in labels
    )
    more = replace(like, cylinder=size, start_gauge_bar=bar, place=Place.STAGE, label=label)
    if not is_enough((*diver.kit, more)):
        return None
    row: dict[str, object] = {
        "gas": str(mix),
        "size": size.name,
        "pressure_{bar}": bar,
        "place": str(Place.STAGE),
        "label": label,
        "diver": (diver.name,),
    }
    return Mend(f"carry one more {size.name} of {mix}", (Change(("cylinder",), row),))


def _of(diver: Diver, held: KitCylinder, key: str, value: str | float) -> Change:
    return Change(("cylinder", diver.name, held.label, key), value)


def _kind(name: str) -> str:
    found = _KIND.match(name)
    return found.group() if found else ""


def _readable_bar(gauge_bar: float, units: UnitSystem) -> float:
    """Return a pressure rounded up to what a gauge shows: whole bar, or tens of psi."""
    if units is UnitSystem.METRIC:
        return round_up(gauge_bar)
    return bar_from_psi(round_up(psi_from_bar(gauge_bar), 10.0))
