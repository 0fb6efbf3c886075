"""The cylinder to be filled: what is in it, and whether it may be filled at all.

Working pressure, test date and fitness for oxygen are asked before any step is told. What is not
known is never taken for granted: it comes back as a caution to be cleared at the cylinder itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill import say
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.units import UnitSystem
from slatewright.supply.cylinders import Cylinder, contents_mol, need_working_pressure

RICH_O2: Final = 0.235
"""Gas with more oxygen than this is let only into what is clean for oxygen: common practice, no
published source; some draw the line at 40 % [-]."""
_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Receiver:
    """A cylinder to be filled.

    Parameters
    ----------
    label
        How it is called in the fill room, unique there.
    cylinder
        The vessel.
    contents
        What is in it; None only after it was evacuated.
    test_due
        Day until which its test is valid, as stamped; None if nobody has looked.
    oxygen_clean
        Whether it is clean for oxygen; None if not known.
    """

    label: str
    cylinder: Cylinder
    contents: Amount | None
    test_due: date | None = None
    oxygen_clean: bool | None = None

    @property
    def water_volume_l(self) -> float:
        """Water volume [L]."""
        return self.cylinder.water_volume_l


def holding(
    cylinder: Cylinder,
    gas: Gas,
    gauge_bar: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> Amount:
    """Return what is in a cylinder from what its gauge shows.

    Parameters
    ----------
    cylinder
        The cylinder.
    gas
        What is in it.
    gauge_bar
        Pressure on the gauge; at 0 it is still full of gas at ambient pressure [bar].
    temperature_k
        Temperature of the gas [K].
    surface_bar
        Ambient pressure, above which the gauge counts [bar].

    Returns
    -------
    Amount
        The gas.

    Raises
    ------
    InputError
        If the pressure is below zero or above the working pressure.
    """
    amount_mol = contents_mol(cylinder, gas, gauge_bar, temperature_k, surface_bar)
    return Amount.of(gas, amount_mol)


def need_sound(receiver: Receiver, richest_o2: float, on: date) -> tuple[str, ...]:
    """Refuse a cylinder that may not be filled; return what has still to be looked at.

    Parameters
    ----------
    receiver
        The cylinder.
    richest_o2
        Oxygen fraction of the richest gas that will go in [-].
    on
        The day of the fill.

    Returns
    -------
    tuple
        Cautions, each a sentence.

    Raises
    ------
    NoSafeAnswer
        If its test has run out, or it is not clean for the oxygen.
    """
    reasons, cautions = [], []
    if receiver.test_due is None:
        cautions.append(f"{receiver.label}: test date not known; read the stamp before filling.")
    elif receiver.test_due < on:
        reasons.append(
            Reason(
                f"{receiver.label}: its test was valid until {receiver.test_due}, and it is {on}",
                "have it tested; it is not filled before",
            )
        )
    if richest_o2 > RICH_O2 + _SLACK:
        if receiver.oxygen_clean is None:
            cautions.append(
                f"{receiver.label}: not known to be clean for oxygen, and gas of "
                f"{richest_o2 * 100:.0f} % oxygen goes in; make sure before opening a valve."
            )
        elif not receiver.oxygen_clean:
            reasons.append(
                Reason(
                    f"{receiver.label}: is not clean for oxygen, and gas of "
                    f"{richest_o2 * 100:.0f} % oxygen would go in",
                    f"have it cleaned, or use sources of at most {RICH_O2 * 100:g} % oxygen",
                )
            )
    if reasons:
        raise NoSafeAnswer(*reasons)
    return tuple(cautions)


def need_no_overfill(
    receiver: Receiver,
    readings_bar: Iterable[float],
    settled_bar: float,
    units: UnitSystem = UnitSystem.METRIC,
) -> None:
    """Refuse a fill that at any time stands above the working pressure.

    Parameters
    ----------
    receiver
        The cylinder.
    readings_bar
        What the gauge shows after each step, warm as it is [bar].
    settled_bar
        What it shows at the reference temperature [bar].
    units
        The units in which it is told.

    Raises
    ------
    NoSafeAnswer
        If one of them is too high.
    """
    working_bar = receiver.cylinder.working_gauge_bar
    hottest_bar = max(readings_bar, default=settled_bar)
    try:
        need_working_pressure(receiver.cylinder, settled_bar)
        need_working_pressure(receiver.cylinder, max(0.0, hottest_bar))
    except InputError:
        works = say.gauge(working_bar, units)
        if settled_bar <= working_bar:
            high_bar = hottest_bar
            cure = (
                "fill it in stages with time to cool, or ask for less pressure: it would show "
                f"{say.gauge(hottest_bar, units)} while warm"
            )
        else:
            high_bar, cure = settled_bar, f"at most {works}"
        what = f"{say.gauge(high_bar, units)} is above its working pressure of {works}"
        raise NoSafeAnswer(Reason(f"{receiver.label}: {what}", cure)) from None


def need_target(
    receiver: Receiver, gauge_bar: float, units: UnitSystem = UnitSystem.METRIC
) -> None:
    """Refuse a target pressure that no such cylinder may have.

    Parameters
    ----------
    receiver
        The cylinder.
    gauge_bar
        Settled pressure asked for [bar].
    units
        The units in which it is told.

    Raises
    ------
    NoSafeAnswer
        If it is above the working pressure.
    InputError
        If it is no pressure of a fill.
    """
    if not gauge_bar > 0.0:
        raise InputError(
            f"{receiver.label}: a fill to {say.gauge(gauge_bar, units)} is none",
            where="gauge_bar",
            right=f"above 0, up to {say.gauge(receiver.cylinder.working_gauge_bar, units)}",
        )
    need_no_overfill(receiver, (), gauge_bar, units)
