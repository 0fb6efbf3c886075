"""Which compartment leads: the one nearest to its line when a level is reached."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slatewright.decompression._kernel.exchange import excess_bar, gradient_at
from slatewright.decompression.along import tensions_at
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.leg import Leg
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import COMPARTMENTS, Tissues
from slatewright.physics.water import Water


@dataclass(frozen=True, slots=True)
class Leading:
    """The compartment that leads on reaching a level.

    Parameters
    ----------
    number
        Which of the sixteen it is, the fastest 1.
    at_min, at_m
        Run time and depth [min], [m].
    level, first_stop
        The level, and the first stop, counted in stop steps [-].
    n2_bar, he_bar
        Its tensions [bar].
    ambient_bar
        Pressure there [bar].
    gradient
        The gradient factor there [-].
    n2_a_bar, he_a_bar
        Its coefficients a [bar].
    n2_b, he_b
        Its coefficients b [-].
    excess_bar
        By how much it passes its line; not above zero on or under it [bar].
    """

    number: int
    at_min: float
    at_m: float
    level: float
    first_stop: float
    n2_bar: float
    he_bar: float
    ambient_bar: float
    gradient: float
    n2_a_bar: float
    he_a_bar: float
    n2_b: float
    he_b: float
    excess_bar: float


def leading_on_reaching(
    legs: Sequence[Leg],
    at_min: float,
    settings: AscentSettings,
    water: Water,
    start: Tissues,
    first_stop_m: float | None,
) -> Leading:
    """Return the compartment that leads at the end of an ascent.

    Parameters
    ----------
    legs
        The finished dive.
    at_min
        Run time at which one of its ascents ends [min].
    settings, water
        Model, gradient factors, levels; pressure.
    start
        Tensions at the start.
    first_stop_m
        The first stop, None if there is none: then the low gradient factor holds everywhere [m].
    """
    at_m = next(leg.to_m for leg in legs if abs(leg.end_min - at_min) < _SAME_MIN)
    tensions = tensions_at(legs, [at_min], settings, water, start)[0].tolist()
    level = at_m / settings.stop_step_m
    first_stop = (first_stop_m or 0.0) / settings.stop_step_m
    gradient = float(
        gradient_at(round(level), round(first_stop), settings.gradient_low, settings.gradient_high)
    )
    ambient_bar = water.surface_bar + at_m * water.bar_per_m
    known = coefficients(settings.model)

    def of(index: int) -> Leading:
        n2_bar, he_bar = tensions[index], tensions[COMPARTMENTS + index]
        a_and_b = (known.n2_a_bar[index], known.he_a_bar[index])
        slopes = (known.n2_b[index], known.he_b[index])
        excess = float(excess_bar(n2_bar, he_bar, ambient_bar, gradient, *a_and_b, *slopes))
        return Leading(
            index + 1, at_min, at_m, level, first_stop, n2_bar, he_bar, ambient_bar, gradient,
            *a_and_b, *slopes, excess,
        )  # fmt: skip

    return max((of(index) for index in range(COMPARTMENTS)), key=lambda one: one.excess_bar)


_SAME_MIN = 1e-6
