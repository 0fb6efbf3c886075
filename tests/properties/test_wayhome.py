"""The way home over many kits: nothing is lost, more gas never harms, losing more never helps."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.decompression.draw import Tracks, draw
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from slatewright.supply.kit import Rmv
from slatewright.supply.wayhome import Failure, FailureKind, Verdict, way_home
from unit.supply.kits import diver
from unit.supply.wayhome_dives import deep, kit_of, planned_dive, quarry, team

# The same examples each time: stops end on whole minutes, and a minute more or less of rounding
# could in principle turn a verdict; none of 78,000 cells with more gas did, and none of 25,000 with
# more lost.
FEW = settings(max_examples=12, deadline=None, derandomize=True)
MANY = settings(max_examples=60, deadline=None)
EAN50, O2 = Mixture(0.5), Mixture(1.0)


@cache
def dive_of(name):
    return planned_dive({"quarry": quarry, "deep": deep}[name](14.0))


rmvs = st.builds(
    lambda swim, rest, more: Rmv(swim, swim + 2.0, rest, swim + more),
    st.floats(14, 24), st.floats(12, 20), st.floats(2, 16),
)  # fmt: skip


@st.composite
def groups(draw_):
    """Draw a dive and a team of one to three, from plenty of gas to far too little."""
    name = draw_(st.sampled_from(("quarry", "deep")))
    dive = dive_of(name)
    litres = {
        "back_l": draw_(st.floats(8, 40)),
        "stage_l": draw_(st.floats(2, 14)),
        "O2": draw_(st.floats(1, 12)),
    }
    people = draw_(st.integers(1, 3))
    alike = draw_(st.booleans())
    first = draw_(rmvs)
    divers = tuple(
        diver(
            *kit_of(dive.plan, **litres),
            rmv=first if alike else draw_(rmvs),
            name=f"diver {number + 1}",
            works=draw_(st.booleans()) and not alike,
        )
        for number in range(people)
    )
    return name, dive, divers, litres


@FEW
@given(groups())
def test_what_is_breathed_is_drawn_or_lacking_in_every_cell(drawn):
    _, dive, divers, _ = drawn
    grid = way_home(dive, team(*divers))
    assert grid.largest_imbalance_mol < 1e-6
    verdict, share = grid.arrays.verdict, grid.arrays.share
    with_way = (verdict >= Verdict.HOME) & (verdict < Verdict.NO_WAY)
    assert np.isnan(share[~with_way]).all()
    assert (share[with_way & ~np.isnan(share)] >= 0.0).all()
    assert (share[with_way & ~np.isnan(share)] <= 1.0 + 1e-12).all()
    assert (grid.arrays.lacking_mol[with_way] == 0.0).all()


@FEW
@given(groups(), st.sampled_from(["bottom", "EAN50", "O2"]), st.floats(1.05, 2.5))
def test_more_gas_never_makes_a_verdict_worse(drawn, which, times):
    _, dive, divers, litres = drawn
    more = dict(litres)
    if which == "bottom":
        more["back_l"] *= times
    else:
        more[which] = litres.get(which, litres["stage_l"]) * times
    richer = tuple(
        diver(*kit_of(dive.plan, **more), rmv=d.rmv, name=d.name, works=d.works_at_depth)
        for d in divers
    )
    before, after = way_home(dive, team(*divers)), way_home(dive, team(*richer))
    assert (after.arrays.verdict <= before.arrays.verdict).all()


@FEW
@given(groups())
def test_losing_more_never_helps(drawn):
    _, dive, divers, _ = drawn
    losses = [(), (EAN50,), (O2,), (EAN50, O2)]
    rows = tuple(
        Failure(FailureKind.GAS_LOST, f"row {i}", lost=lost, sorting_min=1.0)
        for i, lost in enumerate(losses)
    )
    everybody = tuple(
        Failure(FailureKind.LOST_BY_ALL, f"all {i}", lost_by_all=lost, sorting_min=1.0)
        for i, lost in enumerate(losses)
    )
    verdict = way_home(dive, team(*divers), failures=rows + everybody).arrays.verdict
    nothing, ean50, o2, both = verdict[:4]
    for less, more in ((nothing, ean50), (nothing, o2), (ean50, both), (o2, both)):
        assert (less <= more).all()
    for one, every in zip(verdict[:4], verdict[4:], strict=True):
        assert (one <= every).all()


@st.composite
def loads(draw_):
    """Draw legs, divers and amounts at random; nothing here minds whether they make a dive."""
    people, gases, legs = draw_(st.integers(1, 3)), 3, draw_(st.integers(1, 8))
    rng = np.random.default_rng(draw_(st.integers(0, 2**32 - 1)))
    rows = np.zeros((2, legs, 6))
    rows[:, :, 0] = rng.integers(0, 6, (2, legs))
    rows[:, :, 1:3] = rng.uniform(0, 90, (2, legs, 2))
    rows[:, :, 4] = rng.uniform(0.1, 10, (2, legs))
    rows[:, :, 3] = np.cumsum(rows[:, :, 4], axis=1) - rows[:, :, 4]
    rows[:, :, 5] = rng.integers(0, gases, (2, legs))
    tracks = Tracks(
        rows,
        np.array([legs, max(1, legs - 1)]),
        rng.integers(0, gases, (2, legs)),
        rng.integers(0, 2, 2),
    )
    cells = 6
    return (
        tracks,
        rng.integers(0, 2, cells),
        rng.uniform(0, 400, (cells, people, gases)) * rng.integers(0, 2, (cells, people, gases)),
        rng.uniform(8, 40, (cells, people, 8)),
        rng.uniform(20, 60, (cells, people)),
    )


@MANY
@given(loads())
def test_drawing_conserves_and_never_takes_what_is_not_there(load):
    tracks, track, available, rmv, stressed = load
    found = draw(tracks, track, available, rmv, stressed, Water(), mol_per_l_bar=0.041)
    drawn = available - found.left_mol
    assert (found.left_mol >= 0.0).all()
    assert (drawn >= -1e-9).all()
    used = found.breathed_mol.sum(axis=1) - found.lacking_mol
    assert used == pytest.approx(drawn.sum(axis=1), abs=1e-6)
    # nothing is lacking of a gas of which somebody has some left
    lacking = found.lacking_mol > 1e-9
    assert (found.left_mol.sum(axis=1)[lacking] < 1e-6).all()
    assert ((found.out_leg >= 0) == lacking.any(axis=1)).all()
    # at least what calm breathing takes, at most what stressed breathing takes
    depth_bar = 1.01325 + 0.05 * (tracks.legs[:, :, 1] + tracks.legs[:, :, 2])
    unit = depth_bar * tracks.legs[:, :, 4] * 0.041
    for cell, row in enumerate(track.tolist()):
        count = tracks.count[row]
        way = tracks.legs[row, :count, 0].astype(int)
        if tracks.held[row]:
            way[0] = 6 if way[0] == 1 else 7
        for person in range(available.shape[1]):
            calm = rmv[cell, person, way]
            least = (unit[row, :count] * calm).sum()
            most = (unit[row, :count] * np.maximum(calm, stressed[cell, person])).sum()
            total = found.breathed_mol[cell, person].sum()
            assert least - 1e-6 <= total <= most + 1e-6


def test_drawing_refuses_what_does_not_fit():
    tracks = Tracks(np.zeros((1, 1, 6)), np.array([1]), np.zeros((1, 1), int), np.array([0]))
    good = [np.array([0]), np.ones((1, 2, 3)), np.ones((1, 2, 8)), np.ones((1, 2))]
    for place, bad in ((1, -np.ones((1, 2, 3))), (2, np.ones((1, 2, 6))), (3, np.ones((1, 3)))):
        with pytest.raises(InputError):
            draw(tracks, *good[:place], bad, *good[place + 1 :], Water(), mol_per_l_bar=0.041)
