"""Real gas: one density solved afresh, one pressure, and a hundred thousand from the curve."""

from __future__ import annotations

import numpy as np

from slatewright.physics import real_gas
from slatewright.physics.isotherm import isotherm
from slatewright.physics.mixture import Mixture

MIX = Mixture(0.10, 0.70)


def test_density_solved(benchmark):
    solve = real_gas._density.__wrapped__  # noqa: SLF001 - past the cache
    density = benchmark(solve, MIX.o2, MIX.he, 232.0, 293.15)
    assert 8.0 < density < 9.0


def test_pressure(benchmark):
    bar = benchmark(real_gas.pressure_bar, MIX, 8.34, 293.15)
    assert 225.0 < bar < 240.0


def test_hundred_thousand_pressures_from_the_curve(benchmark):
    curve = isotherm(MIX, 293.15)
    density = np.linspace(0.0, 8.0, 100_000)
    bar = benchmark(curve.pressure_bar, density)
    assert bar.shape == density.shape
