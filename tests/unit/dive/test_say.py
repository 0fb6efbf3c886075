"""Sentences round limits to the safe side, and imperial plans speak feet."""

from __future__ import annotations

import pytest

from slatewright.dive import say
from slatewright.physics.units import UnitSystem

METRIC, IMPERIAL = UnitSystem.METRIC, UnitSystem.IMPERIAL


@pytest.mark.parametrize(
    ("function", "metres", "units", "text"),
    [
        (say.depth, 7.834, METRIC, "7.8 m"),
        (say.depth, 21.0, METRIC, "21 m"),
        (say.depth, 60.96, IMPERIAL, "200 ft"),
        (say.depth, 18.7452, IMPERIAL, "61.5 ft"),
        (say.no_shallower, 7.834, METRIC, "7.9 m"),
        (say.no_shallower, 8.0, METRIC, "8 m"),
        (say.no_shallower, 7.834, IMPERIAL, "26 ft"),
        (say.no_deeper, 18.4675, METRIC, "18.4 m"),
        (say.no_deeper, 18.4675, IMPERIAL, "60 ft"),
        (say.rate, 9.144, IMPERIAL, "30 ft/min"),
        # 10 m/min are 32.8 ft/min: 33 would be faster
        (say.no_faster, 10.0, IMPERIAL, "32 ft/min"),
        (say.no_faster, 10.0, METRIC, "10 m/min"),
    ],
)
def test_figures_are_rounded_to_the_safe_side(function, metres, units, text):
    assert function(metres, units) == text


@pytest.mark.parametrize(
    ("least", "most", "text"),
    [
        (0.1776, 0.3119, "18 to 31 % oxygen"),
        (0.0626, 0.0641, "6.3 to 6.4 % oxygen"),
        (0.124, 0.1249, "12.4 % oxygen"),
        (0.5, 1.4, "50 to 100 % oxygen"),
        (0.4, 0.3, ""),
        (0.1234, 0.1238, ""),
    ],
)
def test_a_range_of_oxygen_lies_within_itself(least, most, text):
    assert say.oxygen_between(least, most) == text
