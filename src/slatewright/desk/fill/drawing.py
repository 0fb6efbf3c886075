"""A cylinder before and after its fill: layers by gas, each a letter, a pattern, and ink at last.

The layers stand in the order of their weight, as they would if gases did not mix; how high they
stand together is the pressure on the gauge against the working pressure. A scale of pressures
stands between the two, like the graduated border of a chart.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from slatewright.desk.bench import svg
from slatewright.fill.steps import Blend
from slatewright.paper.reading import gauge_text
from slatewright.paper.theme import Point, mixture_name
from slatewright.physics.amount import Amount
from slatewright.physics.units import UnitSystem, bar_from_psi

WIDTH: Final = 444.0
HEIGHT: Final = 268.0
_TOP: Final = 44.0
"""Where a full cylinder is filled to."""
_FOOT: Final = 246.0
_BODY: Final = 78.0
_LEFT: Final = 58.0
_RIGHT: Final = WIDTH - _LEFT - _BODY
_MIDDLE: Final = WIDTH / 2.0
_GAP: Final = 4.0
_LETTER: Final = 9.0
_APART: Final = 20.0
_WEFT: Final = 6.0
_TRACE: Final = 0.0005
_STEPS_BAR: Final = {UnitSystem.METRIC: 10.0, UnitSystem.IMPERIAL: bar_from_psi(100.0)}
_LONG_EVERY: Final = 5


@dataclass(frozen=True, slots=True)
class Layer:
    """How a pure gas is told apart.

    Parameters
    ----------
    name
        Its name.
    letter
        What stands in its shape.
    corners
        The corners of the shape round a circle of radius 1; empty for the circle.
    dashes
        Dash and gap of its lines [px]; empty for solid ones.
    ink
        The class of its ink, the last of the signs to be relied on.
    """

    name: str
    letter: str
    corners: tuple[Point, ...]
    dashes: str
    ink: str


OXYGEN: Final = Layer("oxygen", "O", (), "", "ink-2")
NITROGEN: Final = Layer(
    "nitrogen", "N", ((-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)), "1.4 4", "ink-4"
)
HELIUM: Final = Layer(
    "helium",
    "H",
    ((-1.1, 0.0), (-0.55, -0.866), (0.55, -0.866), (1.1, 0.0), (0.55, 0.866), (-0.55, 0.866)),
    "9 4",
    "ink-1",
)
LAYERS: Final = (OXYGEN, NITROGEN, HELIUM)


def cylinder_picture(blend: Blend, units: UnitSystem, name: str) -> Markup:
    """Draw a cylinder before and after a fill.

    Parameters
    ----------
    blend
        The fill.
    units
        The units of the gauges.
    name
        Unlike that of any other picture of the page.
    """
    receiver = blend.receiver
    full_bar = receiver.cylinder.working_gauge_bar
    count = receiver.cylinder.count
    sides = (
        (f"{name}-before", _LEFT, receiver.contents, blend.start_settled_gauge_bar, -1.0),
        (f"{name}-after", _RIGHT, blend.contents, blend.settled_gauge_bar, 1.0),
    )
    parts = list(_scale(full_bar, units))
    for clip, left, inside, gauge_bar, side in sides:
        share = min(1.0, max(0.0, gauge_bar / full_bar))
        parts += _vessel(clip, left, inside, share, count)
        parts += _words(left, inside, share, side)
        parts += _pressure(inside, gauge_bar, share, side, units)
    before = _told(receiver.contents, blend.start_settled_gauge_bar, units)
    after = _told(blend.contents, blend.settled_gauge_bar, units)
    said = f"{receiver.label}: before {before}, after {after}"
    return svg.picture("vessels", WIDTH, HEIGHT, said, parts)


def layer_mark(layer: Layer) -> Markup:
    """Draw the letter of a gas in its shape, to stand in a line of text.

    Parameters
    ----------
    layer
        The gas.
    """
    return svg.whole(
        f'<svg class="mark-of {layer.ink}" viewBox="-11 -11 22 22" width="22" height="22" '
        f'aria-hidden="true">{_mark(layer, 0.0, 0.0)}</svg>'
    )


def _told(inside: Amount | None, gauge_bar: float, units: UnitSystem) -> str:
    if inside is None:
        return "a vacuum"
    mix = mixture_name(inside.mixture())
    return f"{gauge_text(gauge_bar, units)} {units.pressure_unit} of {mix}"


def _vessel(
    clip: str, left: float, inside: Amount | None, share: float, count: int
) -> Iterator[str]:
    """Yield one vessel, or two side by side, with its layers."""
    bodies = _bodies(left, count)
    outline = "".join(_outline(x, wide) for x, wide in bodies)
    yield f'<clipPath id="{clip}"><path d="{outline}"/></clipPath>'
    yield f'<path class="vessel-wall" d="{outline}"/>'
    yield f'<g clip-path="url(#{clip})">'
    floor = _FOOT
    for layer, part in _layers(inside):
        top = floor - (_FOOT - _TOP) * share * part
        yield svg.rect(f"layer {layer.ink}", left, top, left + _BODY, floor)
        yield from _weft(layer, left, top, floor)
        floor = top
    if inside is not None and share > 0.0:
        yield svg.line("brim", left, floor, left + _BODY, floor)
    yield "</g>"
    yield f'<path class="vessel-line" d="{outline}"/>'
    for x, wide in bodies:
        yield _valve(x + wide / 2.0)
    if len(bodies) > 1:
        first, second = (x + wide / 2.0 for x, wide in bodies)
        yield svg.line("manifold", first, 15.0, second, 15.0)


def _bodies(left: float, count: int) -> tuple[tuple[float, float], ...]:
    if count < 2:
        return ((left + 9.0, _BODY - 18.0),)
    wide = (_BODY - _GAP) / 2.0
    return ((left, wide), (left + wide + _GAP, wide))


def _outline(x: float, wide: float) -> str:
    """Return the path of a body: a round shoulder, straight walls, a foot with small corners."""
    shoulder, corner = wide * 0.5, 6.0
    top = _TOP - 8.0
    n = svg.number
    return (
        f"M{n(x)} {n(top + shoulder)}A{n(shoulder)} {n(shoulder)} 0 0 1 {n(x + wide)} "
        f"{n(top + shoulder)}V{n(_FOOT - corner)}A{n(corner)} {n(corner)} 0 0 1 "
        f"{n(x + wide - corner)} {n(_FOOT)}H{n(x + corner)}A{n(corner)} {n(corner)} 0 0 1 {n(x)} "
        f"{n(_FOOT - corner)}Z"
    )


def _valve(x: float) -> str:
    return (
        svg.rect("valve", x - 5.0, 21.0, x + 5.0, _TOP - 7.0)
        + svg.rect("valve", x - 9.0, 11.0, x + 9.0, 20.0)
        + svg.rect("valve", x - 3.0, 5.0, x + 3.0, 11.0)
    )


def _weft(layer: Layer, left: float, top: float, floor: float) -> Iterator[str]:
    dashes = f' stroke-dasharray="{layer.dashes}"' if layer.dashes else ""
    y, right = floor - _WEFT / 2.0, left + _BODY
    while y > top + 0.5:
        yield svg.path(f"weft {layer.ink}", ((left, y), (right, y)), more=dashes)
        y -= _WEFT


def _layers(inside: Amount | None) -> list[tuple[Layer, float]]:
    if inside is None:
        return []
    shares = (inside.o2, inside.n2_mol / inside.total_mol, inside.he)
    return [(layer, part) for layer, part in zip(LAYERS, shares, strict=True) if part > _TRACE]


def _words(left: float, inside: Amount | None, share: float, side: float) -> Iterator[str]:
    """Yield mark and percentage of each layer on the outer side, kept apart from one another."""
    found, floor = [], _FOOT
    for layer, part in _layers(inside):
        top = floor - (_FOOT - _TOP) * share * part
        found.append((layer, part, (floor + top) / 2.0))
        floor = top
    places = _apart([y for _, _, y in found])
    edge = left if side < 0.0 else left + _BODY
    at = edge + side * 14.0
    for (layer, part, true_y), y in zip(found, places, strict=True):
        yield svg.path("leader", ((edge + side * 1.0, true_y), (at - side * 7.0, y)))
        yield f'<g class="{layer.ink}">{_mark(layer, at, y)}</g>'
        name = "share" if side > 0.0 else "share end"
        yield svg.text(name, at + side * 13.0, y, f"{part * 100.0:.0f}%")


def _apart(wanted: list[float]) -> list[float]:
    """Move places upwards until none touches another, and all down if they leave the top."""
    places: list[float] = []
    for y in wanted:
        most = places[-1] - _APART if places else _FOOT - 9.0
        places.append(min(y, most))
    over = _TOP - 4.0 - places[-1] if places else 0.0
    return [y + over for y in places] if over > 0.0 else places


def _mark(layer: Layer, x: float, y: float) -> str:
    return svg.shape("mark-shape", layer.corners, x, y, _LETTER) + svg.text(
        "mark-letter", x, y + 0.5, layer.letter
    )


def _scale(full_bar: float, units: UnitSystem) -> Iterator[str]:
    """Yield the scale between the vessels, from nothing to the working pressure."""
    yield svg.line("rule", _MIDDLE, _TOP, _MIDDLE, _FOOT)
    step_bar = _STEPS_BAR[units]
    number = 0
    while number * step_bar <= full_bar + 1e-6:
        y = _FOOT - (_FOOT - _TOP) * number * step_bar / full_bar
        half = 6.0 if number % _LONG_EVERY == 0 else 3.0
        yield svg.line("rule", _MIDDLE - half, y, _MIDDLE + half, y)
        number += 1
    yield svg.line("rule works", _MIDDLE - 16.0, _TOP, _MIDDLE + 16.0, _TOP)
    words = f"works at {gauge_text(full_bar, units).removesuffix('.0')}"
    yield svg.text("works-at mid", _MIDDLE, _TOP - 14.0, words)


def _pressure(
    inside: Amount | None, gauge_bar: float, share: float, side: float, units: UnitSystem
) -> Iterator[str]:
    """Yield the pressure beside the brim, with a pointer to the scale."""
    y = _FOOT - (_FOOT - _TOP) * share
    tip = _MIDDLE + side * 8.0
    back = tip + side * 9.0
    yield svg.path("pointer", ((tip, y), (back, y - 5.0), (back, y + 5.0)), closed=True)
    name = "pressure" if side > 0.0 else "pressure end"
    words = "vacuum" if inside is None else gauge_text(gauge_bar, units)
    place = y - 9.0 if y > _FOOT - 9.0 else y
    yield svg.text(name, back + side * 3.0, place, words)
