"""What a change of gas does to nitrogen and helium, and the rule of fifths.

When helium is left for nitrogen at one depth, nitrogen enters faster-loading tissue while helium
still leaves. The rule of fifths allows nitrogen to rise by at most a fifth of what helium falls by.
It is a warning with figures and not a veto: the commonest switch of all, 18/45 to EAN50, breaks it.

Both sides of the rule grow with the same ambient pressure. Whether a switch keeps it is a matter of
the two mixtures alone: no other depth cures it, and no step between, since two switches with less
helium each time that keep the rule keep it together. Only more helium in the gas being taken does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.physics.limits import need_depth
from slatewright.physics.symbols import AMBIENT, O2
from slatewright.sources import Symbol, formula

if TYPE_CHECKING:
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water

FIFTH: Final = 0.2
_SLACK_BAR: Final = 1e-9  # a rise of exactly a fifth keeps the rule, whatever binary fractions say


@formula(
    name="pressure-change-at-switch",
    title="Change of an inert gas's partial pressure at a switch",
    equation="dp = (f_after - f_before)·p",
    result=Symbol("dp", "bar", "change of the partial pressure, negative for a fall"),
    symbols={
        "before": Symbol("f_before", "-", "mole fraction in the gas being left", 0.0, 1.0),
        "after": Symbol("f_after", "-", "mole fraction in the gas being taken", 0.0, 1.0),
        "ambient_bar": AMBIENT,
    },
    source=("Dalton's law",),
    valid="dry gas, as for oxygen",
)
def pressure_change_bar(before: float, after: float, ambient_bar: float) -> float:
    """Return the change of an inert gas's partial pressure at a switch.

    Parameters
    ----------
    before
        Mole fraction in the gas being left [-].
    after
        Mole fraction in the gas being taken [-].
    ambient_bar
        Ambient pressure, absolute [bar].

    Returns
    -------
    float
        Change, negative for a fall [bar].
    """
    return (after - before) * ambient_bar


@formula(
    name="rule-of-fifths",
    title="Nitrogen rise that the rule of fifths allows",
    equation="dp_max = -dp_He / 5, at least 0",
    result=Symbol("dp_max", "bar", "largest nitrogen rise allowed"),
    symbols={"he_change_bar": Symbol("dp_He", "bar", "change of helium, negative for a fall")},
    source=("common practice, no published source",),
    valid="a switch at one depth; says nothing where helium does not fall",
)
def allowed_n2_rise_bar(he_change_bar: float) -> float:
    """Return the nitrogen rise that the rule of fifths allows.

    Parameters
    ----------
    he_change_bar
        Change of helium's partial pressure, negative for a fall [bar].

    Returns
    -------
    float
        Largest nitrogen rise, 0 where helium does not fall [bar].
    """
    if he_change_bar >= 0.0:
        return 0.0
    return -he_change_bar * FIFTH


@formula(
    name="helium-for-fifths",
    title="Least helium with which a switch keeps the rule of fifths",
    equation="f_He = (1 - f_O2 - f_N2' - f_He' / 5) / (1 - 1/5), at least 0",
    result=Symbol("f_He", "-", "mole fraction of helium in the gas being taken"),
    symbols={
        "o2": O2,
        "n2_before": Symbol("f_N2'", "-", "nitrogen in the gas being left", 0.0, 1.0),
        "he_before": Symbol("f_He'", "-", "helium in the gas being left", 0.0, 1.0),
    },
    source=("common practice, no published source: the rule of fifths, solved for helium",),
    valid="a switch that takes up no more inert gas than it leaves; the same at every depth",
)
def helium_for_fifths(o2: float, n2_before: float, he_before: float) -> float:
    """Return the least helium with which a switch keeps the rule of fifths.

    Parameters
    ----------
    o2
        Mole fraction of oxygen in the gas being taken [-].
    n2_before
        Mole fraction of nitrogen in the gas being left [-].
    he_before
        Mole fraction of helium in the gas being left [-].

    Returns
    -------
    float
        Mole fraction of helium in the gas being taken, not rounded: round up [-].
    """
    least = (1.0 - o2 - n2_before - he_before * FIFTH) / (1.0 - FIFTH)
    if least < 0.0:
        return 0.0
    return least


@dataclass(frozen=True, slots=True)
class SwitchFigures:
    """Inert gases before and after a switch.

    Parameters
    ----------
    depth_m
        Where [m].
    n2_change_bar
        Change of nitrogen's partial pressure [bar].
    he_change_bar
        Change of helium's partial pressure [bar].
    allowed_n2_rise_bar
        What the rule of fifths allows nitrogen to rise by [bar].
    breaks_rule
        Whether helium falls and nitrogen rises by more than allowed.
    """

    depth_m: float
    n2_change_bar: float
    he_change_bar: float
    allowed_n2_rise_bar: float
    breaks_rule: bool


def counterdiffusion(
    before: Mixture, after: Mixture, depth_m: float, water: Water
) -> SwitchFigures:
    """Return what a switch does to nitrogen and helium, judged by the rule of fifths.

    Parameters
    ----------
    before
        The mixture being left.
    after
        The mixture being taken.
    depth_m
        Depth of the switch [m].
    water
        The water.

    Returns
    -------
    SwitchFigures
        The figures. Where helium does not fall there is no counterdiffusion to judge, and
        ``breaks_rule`` is False however much nitrogen rises.

    Raises
    ------
    InputError
        If the depth is negative or no number.
    """
    need_depth(depth_m)
    ambient_bar = water.ambient_bar(depth_m)
    n2_bar = pressure_change_bar(before.n2, after.n2, ambient_bar)
    he_bar = pressure_change_bar(before.he, after.he, ambient_bar)
    allowed_bar = allowed_n2_rise_bar(he_bar)
    breaks = he_bar < -_SLACK_BAR and n2_bar > allowed_bar + _SLACK_BAR
    return SwitchFigures(depth_m, n2_bar, he_bar, allowed_bar, breaks)
