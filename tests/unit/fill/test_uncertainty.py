"""The spread of a mix: slopes against random draws, each error by itself, the step that matters."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from slatewright.errors import InputError
from slatewright.fill.blend import blend
from slatewright.fill.tolerance import Tolerance
from slatewright.fill.uncertainty import Instruments, linear_spread, random_spread, table_of
from slatewright.physics.mixture import Mixture
from unit.fill.fillroom import cylinder, room

NONE = Instruments(0.0, 0.0, 0.0, 0.0, 0.0)
USUAL = Instruments()
FILLS = {
    "from air": blend(cylinder("air"), Mixture(0.18, 0.45), 220.0, room()),
    "from a vacuum": blend(cylinder(), Mixture(0.10, 0.70), 200.0, room()),
    "on a leftover": blend(cylinder("18/45", 90.0), Mixture(0.15, 0.55), 220.0, room()),
    "drained": blend(cylinder("EAN50", 110.0), Mixture(0.12, 0.60), 200.0, room()),
}


@pytest.mark.parametrize("name", FILLS)
def test_slopes_and_random_draws_agree(name):
    linear = linear_spread(FILLS[name], USUAL)
    drawn = random_spread(FILLS[name], USUAL, draws=1500, seed=7)
    # 1500 draws tell a standard deviation to 1/sqrt(3000) = 1.8 %; three times that
    assert drawn.o2 == pytest.approx(linear.o2, rel=0.055)
    assert drawn.he == pytest.approx(linear.he, rel=0.055)
    assert drawn.inside == pytest.approx(linear.inside, abs=0.04)


def test_errors_add_up_as_squares():
    spread = linear_spread(FILLS["on a leftover"], USUAL)
    assert spread.o2 == pytest.approx(math.hypot(*(share.o2 for share in spread.shares)))
    assert spread.he == pytest.approx(math.hypot(*(share.he for share in spread.shares)))


def test_without_errors_there_is_no_spread():
    spread = linear_spread(FILLS["from air"], NONE)
    assert (spread.o2, spread.he, spread.shares) == (0.0, 0.0, ())
    assert spread.inside == 1.0
    assert spread.stays_inside
    assert spread.worst_step == 0
    assert spread.worst_error is None


def test_one_error_by_hand():
    """At low pressure by Dalton: a gauge off by e after helium shifts helium by -e of the whole."""
    fill = blend(cylinder(working_bar=300.0), Mixture(0.18, 0.45), 10.0, room(surface_bar=0.0))
    spread = linear_spread(fill, replace(NONE, gauge_reading_bar=0.01))
    after_helium = next(share for share in spread.shares if "after helium" in share.error)
    assert after_helium.he == pytest.approx(0.01 / 10.0, rel=0.01)
    assert after_helium.o2 == pytest.approx(0.01 / 10.0, rel=0.01)  # oxygen makes up for it


def test_more_error_more_spread():
    small, large = (
        linear_spread(FILLS["from air"], replace(USUAL, temperature_k=kelvin)).o2
        for kelvin in (1.0, 6.0)
    )
    assert large > 2.0 * small


def test_the_step_that_matters_most_has_the_largest_error():
    spread = linear_spread(FILLS["from air"], replace(NONE, temperature_k=3.0))
    helium = [share for share in spread.shares if share.step == 1]
    assert spread.worst_step == 1
    assert spread.worst_error in helium
    assert table_of(spread)[0][0] == spread.worst_error.error


def test_a_wide_tolerance_holds_and_a_narrow_one_does_not():
    wide = linear_spread(FILLS["from air"], USUAL, Tolerance(0.05, 0.05))
    narrow = linear_spread(FILLS["from air"], USUAL, Tolerance(0.002, 0.002))
    assert wide.stays_inside
    assert wide.inside > 0.999
    assert not narrow.stays_inside
    assert narrow.inside < 0.3


def test_the_analyser_adds_its_own_error():
    spread = linear_spread(FILLS["from air"], USUAL)
    o2, he = spread.of_reading(USUAL)
    assert o2 == pytest.approx(math.hypot(spread.o2, 0.003))
    assert he == pytest.approx(math.hypot(spread.he, 0.005))


def test_same_seed_same_result():
    fill = FILLS["from air"]
    assert random_spread(fill, USUAL, draws=50) == random_spread(fill, USUAL, draws=50)


def test_refusals():
    with pytest.raises(InputError, match="below zero"):
        Instruments(gauge_reading_bar=-1.0)
    with pytest.raises(InputError, match="tolerance"):
        Tolerance(o2=0.0)
