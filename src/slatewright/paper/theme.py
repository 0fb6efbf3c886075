"""The look, once: paper and ink of a printed sea chart, and what tells the gases apart.

Meaning never hangs on colour alone. A gas is a letter in a shape and a line pattern first and an
ink second, a hazard is a ring and a word first and magenta second, so that a grey print says as
much as a coloured one.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from slatewright.physics.mixture import Mixture

PAPER: Final = "#fcfaf3"
INK: Final = "#1c2833"
SOFT_INK: Final = "#55626e"
"""Second voice: axis numerals, small print; still 5.9 : 1 on paper."""
CONTOUR: Final = "#8fb0c2"
"""Isobaths: thin lines between the depth tints."""
DEPTH_TINTS: Final = ("#f0f6f8", "#e5f0f4", "#d9e9f0", "#cde1ea", "#c0d8e4", "#b3cfde", "#a6c5d7")
"""Water, from shallow to deep."""
LAND: Final = "#f4e9c6"
"""Above the ceiling: where one must not go, as a keel must not on a chart."""
SHORE: Final = "#7b6420"
"""The ceiling itself."""
CAUTION: Final = "#9c0f66"
"""Magenta, for caution and for nothing else."""

FONT: Final = "Atkinson Hyperlegible"
FONT_STACK: Final = "Atkinson Hyperlegible, Verdana, DejaVu Sans, sans-serif"
"""For an SVG that travels to a machine without the typeface."""
SECOND_FONT: Final = "DejaVu Sans Mono"
"""Comes inside typst: for letters of a person's own title that the typeface lacks."""

Point = tuple[float, float]

_HIGH: Final = 0.866
_SHAPES: Final[tuple[tuple[str, tuple[Point, ...], float], ...]] = (
    ("circle", (), 0.0),
    ("square", ((-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)), 0.0),
    ("triangle", ((0.0, -1.22), (1.25, 0.92), (-1.25, 0.92)), 0.26),
    ("diamond", ((0.0, -1.28), (1.28, 0.0), (0.0, 1.28), (-1.28, 0.0)), 0.0),
    (
        "hexagon",
        ((-1.1, 0.0), (-0.55, -_HIGH), (0.55, -_HIGH), (1.1, 0.0), (0.55, _HIGH), (-0.55, _HIGH)),
        0.0,
    ),
    ("shield", ((-0.92, -0.9), (0.92, -0.9), (0.92, 0.25), (0.0, 1.2), (-0.92, 0.25)), -0.08),
)
"""Name, corners round the origin (y downward, the circle of radius 1 has none), and how far below
the origin a letter sits so that it looks centred."""

_PATTERNS: Final[tuple[tuple[str, tuple[float, ...]], ...]] = (
    ("solid", ()),
    ("long dash", (11.0, 4.0)),
    ("dots", (1.5, 3.5)),
    ("dash and dot", (9.0, 3.5, 1.5, 3.5)),
    ("short dash", (5.0, 3.0)),
    ("dash and two dots", (9.0, 3.0, 1.5, 3.0, 1.5, 3.0)),
)
_INKS: Final = ("#173f6e", "#8a4510", "#1d6544", "#5a5148", "#0b6b7a", "#6a5d00")
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class GasMark:
    """What a gas is known by, on chart, slate and label.

    Parameters
    ----------
    letter
        A, B, C ...; unique within a dive.
    shape
        The name of the shape that the letter stands in.
    corners
        The corners of that shape, y downward, drawn round a circle of radius 1; empty for the
        circle itself.
    letter_drop
        How far below the origin the letter sits to look centred, in the same measure.
    pattern
        The name of the line pattern.
    dashes
        Lengths of dash and gap in turn, in widths of a pen; empty for a solid line.
    ink
        Colour, the last of the signs to be relied on.
    """

    letter: str
    shape: str
    corners: tuple[Point, ...]
    letter_drop: float
    pattern: str
    dashes: tuple[float, ...]
    ink: str


def gas_marks(gases: Iterable[Mixture]) -> dict[Mixture, GasMark]:
    """Give each gas of a dive its letter, shape, pattern and ink.

    The leanest in oxygen is A, whatever the order in which the gases were written down, so that
    chart, slate and label cannot disagree. Hand in all gases of the dive, each time.

    Parameters
    ----------
    gases
        The mixtures; one that occurs twice gets one mark.

    Returns
    -------
    dict[Mixture, GasMark]
        A mark for each mixture, in the order of the letters.

    Raises
    ------
    InputError
        If there are more gases than letters.
    """
    ordered = sorted(set(gases), key=lambda mix: (mix.o2, -mix.he))
    if len(ordered) > len(_LETTERS):
        raise InputError(
            f"{len(ordered)} gases are more than there are letters",
            right=f"at most {len(_LETTERS)} gases in one dive",
        )
    marks: dict[Mixture, GasMark] = {}
    for index, mix in enumerate(ordered):
        shape, corners, drop = _SHAPES[index % len(_SHAPES)]
        pattern, dashes = _PATTERNS[index % len(_PATTERNS)]
        marks[mix] = GasMark(
            letter=_LETTERS[index],
            shape=shape,
            corners=corners,
            letter_drop=drop,
            pattern=pattern,
            dashes=dashes,
            ink=_INKS[index % len(_INKS)],
        )
    return marks


def mixture_name(mix: Mixture) -> str:
    """Return a mixture as it is printed large: OXYGEN and AIR in full.

    Parameters
    ----------
    mix
        The mixture.

    Returns
    -------
    str
        ``OXYGEN``, ``AIR``, ``EAN50`` or ``10/70``.
    """
    return {"O2": "OXYGEN", "air": "AIR"}.get(str(mix), str(mix))


def font_folder() -> Path:
    """Return the folder that holds the typeface.

    Returns
    -------
    Path
        The installed files of Atkinson Hyperlegible.
    """
    from fontpkg_atkinson_hyperlegible import ROOT  # noqa: PLC0415 - only printing needs it

    return Path(ROOT) / "files"
