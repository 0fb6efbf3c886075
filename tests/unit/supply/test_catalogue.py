"""Shipped cylinders: names, spellings, sizes, and that they could exist."""

from __future__ import annotations

import pytest

from slatewright.errors import InputError
from slatewright.physics.units import bar_from_psi
from slatewright.supply.catalogue import catalogue, cylinder_named
from slatewright.supply.cylinders import Material
from slatewright.supply.rating import Rating, water_volume_of_rating_l

ALL = list(catalogue().values())


@pytest.mark.parametrize("cylinder", ALL, ids=lambda cylinder: cylinder.name)
def test_each_is_found_by_its_name_with_or_without_pressure(cylinder):
    assert cylinder_named(cylinder.name) is cylinder
    assert cylinder_named(f"{cylinder.name} {cylinder.working_gauge_bar:.0f} bar") is cylinder


@pytest.mark.parametrize(
    ("spelling", "name"),
    [
        ("2x12", "twin 12"),
        ("2 x 8.5 L", "twin 8.5"),
        ("twice 12 litres", "twin 12"),
        ("double 12", "twin 12"),
        ("Twin 12 at 300 bar", "twin 12 at 300"),
        ("twin 12 232 bar", "twin 12"),
        ("12 single", "single 12"),
        ("stage 11,1 L", "stage 11.1"),
        ("AL 80cuft", "al 80 cuft"),
        ("aluminum 80 cu. ft.", "al 80 cuft"),
        ("80 cubic feet at 3,000 psi aluminium", "al 80 cuft"),
        ("steel 100 cf", "steel 100 cuft"),
        ("2x al 80 cubic foot", "twin al 80 cuft"),
    ],
)
def test_common_spellings(spelling, name):
    assert cylinder_named(spelling).name == name


@pytest.mark.parametrize(
    ("unknown", "near"),
    [
        ("12", "'single 12' or 'twin 12'"),
        ("twin 13", "'twin 12'"),
        ("stag 11.1", "'stage 11.1'"),
        ("stage 11.1 at 232 bar", "'stage 11.1'"),
        ("al 80", "'al 80 cuft'"),
        ("d12", "'twin 12'"),
    ],
)
def test_an_unknown_name_brings_the_nearest(unknown, near):
    with pytest.raises(InputError, match="no shipped cylinder is called") as refusal:
        cylinder_named(unknown)
    assert unknown in refusal.value.what
    assert near in refusal.value.right
    assert "one of your own" in refusal.value.right


@pytest.mark.parametrize("nothing", ["", "   ", "bucket"])
def test_a_name_like_no_other_brings_only_the_way_out(nothing):
    with pytest.raises(InputError) as refusal:
        cylinder_named(nothing)
    assert refusal.value.right.startswith("a size such as 'twin 12'")
    assert "one of your own" in refusal.value.right


def test_the_sizes_that_were_asked_for():
    singles = {f"single {size}" for size in (3, 5, 7, 10, 12, 15, 18, 20)}
    twins = {f"twin {size}" for size in (7, 8.5, 10, 12, 15, 18)}
    stages = {f"stage {size}" for size in (5.7, 7, 11.1)}
    imperial = {"al 30 cuft", "al 40 cuft", "al 80 cuft", "steel 100 cuft", "twin steel 100 cuft"}
    assert singles | twins | stages | imperial <= set(catalogue())


def test_a_twin_is_twice_a_single():
    for name, twin in catalogue().items():
        if twin.count == 2 and "aluminium" not in name:
            bare = name.removeprefix("twin ")
            single = catalogue().get(f"single {bare}") or catalogue()[bare]
            assert twin.water_volume_l == pytest.approx(2.0 * single.water_volume_l, rel=1e-12)
            assert twin.working_gauge_bar == single.working_gauge_bar
            assert twin.empty_mass_kg > 2.0 * single.empty_mass_kg


@pytest.mark.parametrize("cylinder", ALL, ids=lambda cylinder: cylinder.name)
def test_each_is_strong_enough_to_exist(cylinder):
    """Wall and fittings have a density between those of their metals, and a believable mass."""
    wall_kg_per_l = cylinder.empty_mass_kg / (cylinder.external_volume_l - cylinder.water_volume_l)
    least, most = {Material.STEEL: (7.85, 8.0), Material.ALUMINIUM: (2.7, 3.1)}[cylinder.material]
    assert least <= wall_kg_per_l <= most
    # the mass of a wall grows with pressure times volume, as its stress may not; a size that was
    # mistyped falls out of this band
    kg_per_bar_l = cylinder.empty_mass_kg / (cylinder.water_volume_l * cylinder.working_gauge_bar)
    assert 0.0045 <= kg_per_bar_l <= 0.0085


def test_imperial_sizes_follow_their_rating():
    assert cylinder_named("al 80 cuft").water_volume_l == water_volume_of_rating_l(80.0, 3000.0)
    hundred = cylinder_named("steel 100 cuft")
    assert hundred.water_volume_l == water_volume_of_rating_l(100.0, 3442.0, Rating.AS_HELD)
    assert hundred.working_gauge_bar == bar_from_psi(3442.0)


def test_an_unknown_habit_of_rating_gives_the_smaller_cylinder():
    for cubic_feet, psi in ((30.0, 3000.0), (85.0, 2640.0), (120.0, 3442.0)):
        default = water_volume_of_rating_l(cubic_feet, psi)
        assert default < water_volume_of_rating_l(cubic_feet, psi, Rating.AS_HELD)


@pytest.mark.parametrize("cubic_feet", [0.0, -80.0, float("nan"), 1e6])
def test_no_rated_contents_are_refused(cubic_feet):
    with pytest.raises(InputError, match="no rated contents"):
        water_volume_of_rating_l(cubic_feet, 3000.0)


@pytest.mark.parametrize("psi", [0.0, 207.0, float("nan"), 6000.0])
def test_no_rated_pressure_is_refused(psi):
    with pytest.raises(InputError, match="no rated pressure"):
        water_volume_of_rating_l(80.0, psi)
