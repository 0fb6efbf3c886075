"""SVG, element by element: inks are classes, so that day and night are the style sheet's."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from markupsafe import Markup

Point = tuple[float, float]


def number(value: float) -> str:
    """Return a coordinate in tenths of a pixel, without a point where it is whole.

    Parameters
    ----------
    value
        The coordinate [px].
    """
    return f"{value:.1f}".removesuffix(".0")


def rect(name: str, left: float, top: float, right: float, bottom: float) -> str:
    """Return a rectangle.

    Parameters
    ----------
    name
        Its classes.
    left, top, right, bottom
        Its sides [px].
    """
    return (
        f'<rect class="{name}" x="{number(left)}" y="{number(top)}" '
        f'width="{number(max(0.0, right - left))}" height="{number(max(0.0, bottom - top))}"/>'
    )


def line(name: str, x0: float, y0: float, x1: float, y1: float) -> str:
    """Return a straight line.

    Parameters
    ----------
    name
        Its classes.
    x0, y0, x1, y1
        Its ends [px].
    """
    return f'<path class="{name}" d="M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}"/>'


def corners(points: Iterable[Point]) -> str:
    """Return the corners of a line, for one that is drawn several times.

    Parameters
    ----------
    points
        Its corners [px].
    """
    return "L".join([f"{number(x)} {number(y)}" for x, y in points])


def path(name: str, points: Iterable[Point] | str, *, closed: bool = False, more: str = "") -> str:
    """Return a line through points.

    Parameters
    ----------
    name
        Its classes.
    points
        Its corners [px], or these as from `corners`.
    closed
        True for the outline of an area.
    more
        Further attributes.
    """
    through = points if isinstance(points, str) else corners(points)
    return f'<path class="{name}" d="M{through}{"Z" if closed else ""}"{more}/>'


def text(name: str, x: float, y: float, words: str) -> str:
    """Return a line of text; its class says from which end it is set.

    Parameters
    ----------
    name
        Its classes.
    x, y
        Its place; y is the middle of the letters' height [px].
    words
        The text, of whatever origin.
    """
    return f'<text class="{name}" x="{number(x)}" y="{number(y)}">{escape(words)}</text>'


def picture(
    name: str, width: float, height: float, description: str, inside: Iterable[str], more: str = ""
) -> Markup:
    """Return a whole picture.

    Parameters
    ----------
    name
        Its classes.
    width, height
        Its size [px].
    description
        What it shows, for those who do not see it.
    inside
        Its elements, the lowest first, made by the functions of this module.
    more
        Further attributes, its role among them; empty for a plain picture.
    """
    return whole(
        f'<svg class="chart {name}" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" aria-label="{escape(description)}" '
        f"""{more or 'role="img"'}>{"".join(inside)}</svg>"""
    )


def whole(markup: str) -> Markup:
    """Return elements that a template takes as they are.

    Parameters
    ----------
    markup
        Made by the functions of this module, which escape every text that is put into them.
    """
    return Markup(markup)  # noqa: S704 - all texts in it were escaped where they were put in


def shape(name: str, corners: tuple[Point, ...], x: float, y: float, radius: float) -> str:
    """Return the shape of a gas mark.

    Parameters
    ----------
    name
        Its classes.
    corners
        Its corners round a circle of radius 1; empty for the circle.
    x, y
        Its centre [px].
    radius
        Its radius [px].
    """
    if not corners:
        return f'<circle class="{name}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>'
    return path(name, ((x + radius * cx, y + radius * cy) for cx, cy in corners), closed=True)
