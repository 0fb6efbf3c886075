"""Water columns."""

from __future__ import annotations

import pytest

from slatewright.errors import InputError
from slatewright.physics import water as w
from slatewright.physics.atmosphere import surface_pressure_bar
from slatewright.physics.water import Water, WaterKind, water


def test_ten_metres_are_exactly_a_bar_by_default():
    column = water(WaterKind.EN13319)
    assert column == Water()
    assert column.bar_per_m == 0.1
    assert column.surface_bar == 1.01325
    assert pytest.approx(1019.716, abs=5e-4) == w.EN13319_KG_PER_M3
    assert w.water_weight_bar_per_m(w.EN13319_KG_PER_M3) == pytest.approx(0.1, rel=1e-15)


def test_fresh_and_sea_water():
    assert water(WaterKind.FRESH).bar_per_m == pytest.approx(0.0980665, rel=1e-14)
    assert water(WaterKind.SEA).bar_per_m == pytest.approx(0.1005181625, rel=1e-12)


def test_pressure_and_depth_are_inverse():
    column = water(WaterKind.SEA, altitude_m=1200.0)
    assert column.depth_m(column.ambient_bar(63.0)) == pytest.approx(63.0, rel=1e-13)
    assert column.depth_m(column.surface_bar) == 0.0


def test_altitude_lowers_only_the_surface_pressure():
    low, high = water(WaterKind.FRESH), water(WaterKind.FRESH, altitude_m=2000.0)
    assert high.surface_bar < 0.8 < low.surface_bar
    assert high.bar_per_m == low.bar_per_m


@pytest.mark.parametrize("altitude_m", [-501.0, 5001.0, float("nan"), float("inf")])
def test_altitudes_without_dive_data_are_refused(altitude_m):
    with pytest.raises(InputError, match="altitude_m"):
        surface_pressure_bar(altitude_m)
    with pytest.raises(InputError, match="altitude_m"):
        water(WaterKind.FRESH, altitude_m=altitude_m)


@pytest.mark.parametrize("latitude_deg", [None, 91.0, -90.5, float("nan")])
def test_the_sea_of_teos10_needs_its_latitude(latitude_deg):
    with pytest.raises(InputError, match="latitude_deg"):
        water(WaterKind.TEOS10, latitude_deg=latitude_deg)


@pytest.mark.parametrize("deepest_m", [0.0, -10.0, 351.0, float("nan")])
def test_a_teos10_column_has_a_sensible_depth(deepest_m):
    with pytest.raises(InputError, match="deepest_m"):
        water(WaterKind.TEOS10, latitude_deg=43.0, deepest_m=deepest_m)


@pytest.mark.parametrize(
    ("surface_bar", "bar_per_m"), [(0.0, 0.1), (1.0, 0.0), (-1.0, 0.1), (float("nan"), 0.1)]
)
def test_a_column_without_weight_or_air_is_refused(surface_bar, bar_per_m):
    with pytest.raises(InputError, match="is no pressure"):
        Water(WaterKind.SEA, surface_bar, bar_per_m)
