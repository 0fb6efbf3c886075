"""Marks of gases: told apart without colour."""

from __future__ import annotations

import pytest

from slatewright.errors import InputError
from slatewright.paper import theme
from slatewright.paper.theme import gas_marks, mixture_name
from slatewright.physics.mixture import AIR, Mixture
from unit.paper.dives import EAN50, OXYGEN, TRIMIX_10_70, TRIMIX_21_35

GASES = [TRIMIX_10_70, TRIMIX_21_35, EAN50, OXYGEN, AIR, Mixture(0.15, 0.55)]


def test_each_of_six_gases_has_its_own_letter_shape_pattern_and_ink() -> None:
    marks = gas_marks(GASES).values()
    for sign in ("letter", "shape", "pattern", "ink", "corners", "dashes"):
        assert len({getattr(mark, sign) for mark in marks}) == len(GASES), sign


def test_marks_do_not_depend_on_the_order_of_writing_nor_on_repeats() -> None:
    assert gas_marks(GASES) == gas_marks([*reversed(GASES), *GASES])


def test_the_leanest_is_a() -> None:
    assert [str(mix) for mix in gas_marks(GASES)] == [
        "10/70", "15/55", "21/35", "air", "EAN50", "O2"
    ]  # fmt: skip


def test_letters_stay_unique_when_shapes_recur() -> None:
    marks = gas_marks([Mixture(percent / 100.0) for percent in range(21, 41)])
    assert len({mark.letter for mark in marks.values()}) == 20


def test_more_gases_than_letters_are_refused() -> None:
    with pytest.raises(InputError, match="more than there are letters"):
        gas_marks([Mixture(percent / 100.0) for percent in range(21, 48)])


def test_oxygen_and_air_are_printed_in_full() -> None:
    assert [mixture_name(mix) for mix in (OXYGEN, AIR, EAN50, TRIMIX_10_70)] == [
        "OXYGEN", "AIR", "EAN50", "10/70"
    ]  # fmt: skip


def _luminance(colour: str) -> float:
    """WCAG 2.1, definition of relative luminance (from memory)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    """WCAG 2.1, definition of contrast ratio (from memory)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("ground", [theme.PAPER, theme.LAND, *theme.DEPTH_TINTS[:-1]])
def test_what_must_be_read_stands_out(ground: str) -> None:
    """4.5 : 1 for text, WCAG 2.1 success criterion 1.4.3 (from memory)."""
    for ink in (theme.INK, theme.CAUTION):
        assert _contrast(ink, ground) >= 4.5


def test_small_print_and_letters_in_marks_stand_out() -> None:
    """The same criterion."""
    assert _contrast(theme.SOFT_INK, theme.PAPER) >= 4.5
    assert _contrast(theme.SHORE, theme.LAND) >= 4.5
    assert all(_contrast(mark.ink, theme.PAPER) >= 4.5 for mark in gas_marks(GASES).values())


def test_tints_deepen() -> None:
    lights = [_luminance(tint) for tint in theme.DEPTH_TINTS]
    assert lights == sorted(lights, reverse=True)
    assert len(set(lights)) == len(lights)


def test_the_typeface_is_there() -> None:
    names = {path.name for path in theme.font_folder().glob("*.ttf")}
    assert {"AtkinsonHyperlegible-Regular.ttf", "AtkinsonHyperlegible-Bold.ttf"} <= names
