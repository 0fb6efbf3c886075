"""Cylinders of common sizes by name; a person's own stand in the plan."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Final

from slatewright.errors import InputError
from slatewright.physics.units import bar_from_psi, psi_from_bar
from slatewright.supply.buoyancy import external_volume_by_mass_l
from slatewright.supply.cylinders import Cylinder, Material
from slatewright.supply.rating import Rating, water_volume_of_rating_l

CAUTION: Final = (
    "masses and buoyancies of the shipped cylinders are typical ones; weigh your own and enter it"
)
"""To be shown wherever the buoyancy of a shipped cylinder decides something."""

_SETS: Final = {"single": 1, "twin": 2}
_TWICE: Final = re.compile(r"\b(?:2|two|twice)\s*x\s*|\b(?:two|twice)\s+|\bdouble\s+")
_CUBIC_FEET: Final = re.compile(r"\bcu(?:bic|\.)?\s*f(?:oot|eet|t)\b\.?|\bcf\b")
_ALUMINIUM: Final = re.compile(r"\b(?:aluminium|aluminum|alu)\b")
_EMPTY_WORDS: Final = re.compile(r"\b(?:at|bar|l|litres?|liters?|cylinders?|of)\b|[,;]")


@cache
def catalogue() -> Mapping[str, Cylinder]:
    """Return the shipped cylinders by name, metric ones first.

    Returns
    -------
    mapping
        Name, such as ``twin 12``, to cylinder. Volumes are nominal, masses and external volumes
        typical: see `CAUTION`.
    """
    raw = tomllib.loads(files("slatewright.data").joinpath("cylinders.toml").read_text("utf-8"))
    entries = (cylinder for entry in raw["cylinder"] for cylinder in _sets_of(entry, raw))
    return MappingProxyType({cylinder.name: cylinder for cylinder in entries})


def cylinder_named(name: str) -> Cylinder:
    """Return a shipped cylinder.

    Parameters
    ----------
    name
        Its name in any common spelling: ``twin 12``, ``2x12 L``, ``twin 12 at 300 bar``,
        ``stage 11.1``, ``AL 80 cu ft``.

    Returns
    -------
    Cylinder
        The cylinder.

    Raises
    ------
    InputError
        If there is none of that name; the message suggests the nearest.
    """
    wanted = _key(name)
    known = _by_key()
    if wanted in known:
        return known[wanted]
    near = [known[key].name for key in get_close_matches(wanted, known, n=4, cutoff=0.6)]
    if not near:  # a bare size says neither single, twin nor stage
        words = set(wanted.split())
        near = [cylinder.name for key, cylinder in known.items() if words & set(key.split())]
    near = list(dict.fromkeys(near))[:4]
    perhaps = " or ".join(f"'{other}'" for other in near)
    named = f"perhaps {perhaps}" if near else "a size such as 'twin 12', 'stage 11.1', 'al 80 cuft'"
    raise InputError(
        f"no shipped cylinder is called '{name}'",
        right=f"{named}; or one of your own, with water volume, working pressure and mass",
    )


@cache
def _by_key() -> Mapping[str, Cylinder]:
    """Return the cylinders by plain spelling, with and without their working pressure."""
    known: dict[str, Cylinder] = {}
    for name, cylinder in catalogue().items():
        known[_key(f"{name} {cylinder.working_gauge_bar:.0f}")] = cylinder
        known[_key(f"{name} {psi_from_bar(cylinder.working_gauge_bar):.0f} psi")] = cylinder
        known[_key(name)] = cylinder
    return known


def _key(name: str) -> str:
    """Return a name in one spelling out of the many that people write."""
    text = re.sub(r"(?<=\d),(?=\d{3}\b)", "", name.casefold())  # 3,000 psi
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)  # 11,1 L
    text = _TWICE.sub("twin ", text)
    text = re.sub(r"(?<=\d)(?=[a-z])|(?<=[a-z])(?=\d)", " ", text)  # 12l, 80cuft, al80
    text = _ALUMINIUM.sub("al", _CUBIC_FEET.sub("cuft", text))
    return " ".join(sorted(_EMPTY_WORDS.sub(" ", text).split()))


def _sets_of(entry: Mapping[str, Any], raw: Mapping[str, Any]) -> Iterator[Cylinder]:
    material = Material(entry["material"])
    wall_kg = float(entry["wall_mass_kg"])
    volume_l, working_bar = _size_of(entry)
    for kind, count in _SETS.items():
        if kind in entry:
            fittings_kg = float(raw["fittings_kg"][kind])
            yield Cylinder(
                name=entry[kind],
                water_volume_l=count * volume_l,
                working_gauge_bar=working_bar,
                material=material,
                empty_mass_kg=count * wall_kg + fittings_kg,
                external_volume_l=external_volume_by_mass_l(
                    count * volume_l,
                    count * wall_kg,
                    float(raw["density_kg_per_l"][material]),
                    fittings_kg,
                ),
                count=count,
            )


def _size_of(entry: Mapping[str, Any]) -> tuple[float, float]:
    if "water_volume_l" in entry:
        return float(entry["water_volume_l"]), float(entry["working_gauge_bar"])
    psi = float(entry["rated_psi"])
    rating = Rating(entry["rating"])
    return water_volume_of_rating_l(float(entry["rated_cu_ft"]), psi, rating), bar_from_psi(psi)
