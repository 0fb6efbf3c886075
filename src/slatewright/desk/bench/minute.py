"""The price of one more minute at the bottom: gas there, gas and minutes added above."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from slatewright.desk.bench.result import Result
from slatewright.desk.workings import Account, Row, Shown
from slatewright.errors import InputError
from slatewright.paper.reading import depth_text, minutes_up
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import UnitSystem, volume_left_label, volume_needed_label

_CRUMB_MOL: Final = 1e-6
_TITLE: Final = "One more minute at the bottom"


@dataclass(frozen=True, slots=True)
class Minute:
    """What one more minute of the last stay costs.

    Parameters
    ----------
    who, at
        Who pays, and at which depth.
    there
        Gas breathed in that minute: mixture and amount.
    above
        Gas added above, likewise; less of a gas is said so.
    time
        Minutes added above; None if there is no safe dive with that minute.
    less
        Whether the way up gets shorter.
    """

    who: str
    at: str
    there: tuple[tuple[str, Shown], ...]
    above: tuple[tuple[str, Shown], ...]
    time: Shown | None
    less: bool


def minute_of(result: Result, how: str) -> Minute | None:
    """Return the price of a minute as the page shows it; None if nobody knows the gas.

    Parameters
    ----------
    result
        The dive.
    how
        The path under which its accounts are served.
    """
    if result.gas is None:
        return None
    units, price = result.units, result.minute
    depth_m = result.dive.plan.levels[-1].depth_m
    account = f"{how}/minute"
    return Minute(
        who=result.gas.divers[0].diver.name,
        at=f"{depth_text(depth_m, units)} {units.depth_unit}",
        there=tuple(_amounts(price.at_depth_mol, units, account)) if price else (),
        above=tuple(_amounts(price.above_mol, units, account)) if price else (),
        time=Shown(str(minutes_up(abs(price.ascent_min))), "min", account=account)
        if price
        else None,
        less=price is not None and price.ascent_min < 0.0,
    )


def minute_account(result: Result) -> Account:
    """Return how the price of a minute came about.

    Parameters
    ----------
    result
        The dive.

    Raises
    ------
    InputError
        If there is no such price.
    """
    price, gas = result.minute, result.gas
    if price is None or gas is None:
        raise InputError("there is no price of a minute", right="a number of the page")
    return Account(
        title=_TITLE,
        number=Shown(f"{price.ascent_min + 1.0:+.1f}", "min of run time"),
        sentences=(
            (
                "The dive is computed once more with the last stay a minute longer; the price is "
                f"the difference, for {gas.divers[0].diver.name}."
            ),
            (
                "Stops end on whole minutes, so that one minute can add none above, and the next "
                "several."
            ),
        ),
        rows=(
            *_rows("there", price.at_depth_mol, result.units),
            *_rows("above", price.above_mol, result.units),
            Row("minutes above", Shown(f"{price.ascent_min:+.1f}", "min")),
        ),
        sources=("the dive, solved whole a second time",),
    )


def _amounts(
    amounts_mol: Mapping[Mixture, float], units: UnitSystem, account: str
) -> Iterator[tuple[str, Shown]]:
    for mix, amount_mol in amounts_mol.items():
        if amount_mol > _CRUMB_MOL:
            label = volume_needed_label(free_litres(mix, amount_mol), units)
            yield f"of {mix}", Shown(label, account=account)
        elif amount_mol < -_CRUMB_MOL:
            label = volume_left_label(free_litres(mix, -amount_mol), units)
            yield f"less of {mix}", Shown(label, account=account)


def _rows(where: str, amounts_mol: Mapping[Mixture, float], units: UnitSystem) -> Iterator[Row]:
    for words, shown in _amounts(amounts_mol, units, ""):
        yield Row(f"{where}, {words.removeprefix('of ')}", shown)
