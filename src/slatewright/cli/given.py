"""Numbers for a formula as a person types them: ``depth=300ft``, ``mix=10/70``, ``o2=32%``."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR, ZERO_CELSIUS_K
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import bar_from_psi, l_from_cubic_feet, m_from_feet
from slatewright.physics.water import EN13319_BAR_PER_M

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from slatewright.dive.house_rules import HouseRules
    from slatewright.sources import Formula

_NUMBER: Final = re.compile(
    r"(?P<number>[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(?P<unit>\D.*)?"
)
_SAME: Final[dict[str, str]] = {"min": "min", "h": "h", "°C": "degC", "C": "degC", "degC": "degC"}
_CONVERSIONS: Final[dict[tuple[str, str], Callable[[float], float]]] = {
    ("ft", "m"): m_from_feet,
    ("psi", "bar"): bar_from_psi,
    ("cuft", "L"): l_from_cubic_feet,
    ("%", "-"): lambda percent: percent / 100.0,
    ("degC", "K"): lambda celsius: celsius + ZERO_CELSIUS_K,
    ("h", "min"): lambda hours: hours * 60.0,
}
_BY_RULE: Final = {
    "floor_bar": "floor_bar",
    "half_time_min": "cns_half_time_min",
    "temperature_c": "density_temperature_c",
    "limit_g_per_l": "density_recommended_g_per_l",
}
_BY_CONVENTION: Final = {
    "surface_bar": (STANDARD_ATMOSPHERE_BAR, "standard pressure at sea level"),
    "bar_per_m": (EN13319_BAR_PER_M, "EN 13319: 10 m are 1 bar"),
}
_WITHOUT_HELIUM: Final = ("equivalent-air-depth",)
"""Formulas that take the rest of a mixture for nitrogen: a trimix must not be put in."""


@dataclass(frozen=True, slots=True)
class Given:
    """A number for a symbol.

    Parameters
    ----------
    value
        In the symbol's unit.
    assumed
        Where it comes from if the person did not give it; empty if the person did.
    """

    value: float
    assumed: str = ""


def values_given(formula: Formula, words: Sequence[str], rules: HouseRules) -> dict[str, Given]:
    """Return a number for each symbol of a formula.

    Parameters
    ----------
    formula
        The formula.
    words
        What the person typed, each ``name=value``. A name may be the parameter's (``depth_m``),
        that without its unit (``depth``), or the sign in the equation (``d``); ``mix`` stands for
        oxygen and helium.
    rules
        The house rules, for what was left out and a rule decides.

    Returns
    -------
    dict
        In the order of the formula's symbols.

    Raises
    ------
    InputError
        If a word cannot be read, names nothing in the formula, or something is missing.
    """
    given: dict[str, Given] = {}
    for word in words:
        for name, value in _read(formula, word):
            if name in given:
                raise InputError(f"{name} is given twice", where=word, right="once")
            given[name] = Given(value)
    return _completed(formula, given, rules)


def example(formula: Formula) -> str:
    """Return how to ask for the working of a formula.

    Parameters
    ----------
    formula
        The formula.
    """
    needed = [
        name
        for name in formula.symbols
        if name not in _BY_CONVENTION and _BY_RULE.get(name) not in formula.house_rules
    ]
    words = [f"{name}=..." for name in needed if name not in {"o2", "he"}]
    if {"o2", "he"} & set(needed):
        words.insert(0, "mix=10/70" if "he" in needed else "mix=EAN50")
    return " ".join(["slatewright explain", formula.name, *words])


def _completed(formula: Formula, given: dict[str, Given], rules: HouseRules) -> dict[str, Given]:
    complete: dict[str, Given] = {}
    missing: list[str] = []
    for name in formula.symbols:
        if name in given:
            complete[name] = given[name]
        elif name in _BY_CONVENTION:
            complete[name] = Given(*_BY_CONVENTION[name])
        elif _BY_RULE.get(name) in formula.house_rules:
            rule = _BY_RULE[name]
            complete[name] = Given(float(getattr(rules, rule)), f"house rule {rule}")
        else:
            missing.append(name)
    if missing:
        raise InputError(
            f"no value for {', '.join(missing)}", where=formula.name, right=example(formula)
        )
    return complete


def _read(formula: Formula, word: str) -> Iterator[tuple[str, float]]:
    key, equals, text = (part.strip() for part in word.partition("="))
    if not (key and equals and text):
        raise InputError(f"'{word}' is no name=value", right=example(formula))
    if key in {"mix", "gas"}:
        yield from _mixture(formula, key, text)
        return
    name = _symbol(formula, key)
    yield name, _number(text, formula.symbols[name].unit, word, name)


def _mixture(formula: Formula, key: str, text: str) -> Iterator[tuple[str, float]]:
    if not {"o2", "he"} & set(formula.symbols):
        raise InputError(
            f"{formula.name} asks for no mixture", where=f"{key}={text}", right=example(formula)
        )
    mix = Mixture.parse(text)
    if mix.he > 0.0 and "he" not in formula.symbols and formula.name in _WITHOUT_HELIUM:
        raise InputError(
            f"{text} has helium, and an equivalent air depth is for mixtures without",
            right="narcotic-depth-oxygen-counted or narcotic-depth-nitrogen-only",
        )
    yield from (
        (name, f) for name, f in (("o2", mix.o2), ("he", mix.he)) if name in formula.symbols
    )


def _symbol(formula: Formula, key: str) -> str:
    """Return the parameter that a key means."""
    for name, symbol in formula.symbols.items():
        if key in {name, symbol.sign}:
            return name
    starts = [name for name in formula.symbols if name.startswith(f"{key}_")]
    if len(starts) == 1:
        return starts[0]
    raise InputError(
        f"{formula.name} has no symbol '{key}'", right=f"one of {', '.join(formula.symbols)}"
    )


def _number(text: str, unit: str, word: str, name: str) -> float:
    match = _NUMBER.fullmatch(text)
    right = f"{name}=30" if unit == "-" else f"{name}=30, in {unit}"
    if match is None:
        raise InputError(f"'{text}' is no number", where=word, right=right + "; a decimal point")
    value, written = float(match["number"]), (match["unit"] or "").strip()
    written = _SAME.get(written, written)
    if written and written != unit:
        if (written, unit) not in _CONVERSIONS:
            raise InputError(f"'{written}' is no unit for this", where=word, right=right)
        value = _CONVERSIONS[written, unit](value)
    if not math.isfinite(value):
        raise InputError(f"'{text}' is no finite number", where=word, right=right)
    return value
