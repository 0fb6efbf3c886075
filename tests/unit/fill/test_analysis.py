"""What the analyser says: accepted, or refused with the fix."""

from __future__ import annotations

from datetime import datetime

import pytest

from slatewright.errors import InputError, NoSafeAnswer
from slatewright.fill.analysis import Analysis, judge
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.mixture import Mixture
from unit.fill.fillroom import AIR_SOURCE, cylinder, room

AT = datetime.fromisoformat("2031-05-09T08:30:00")
PLANNED = Mixture(0.18, 0.45)


def read(o2, he, bar=220.0, by="Mirren"):
    return Analysis("back", o2, he, by, AT, bar)


def judged(o2, he, made=None, **more):
    return judge(read(o2, he), PLANNED, cylinder("air"), 220.0, made or room(), **more)


@pytest.mark.parametrize(("o2", "he"), [(0.18, 0.45), (0.19, 0.43), (0.17, 0.47)])
def test_within_the_tolerance(o2, he):
    verdict = judged(o2, he)
    assert verdict.accepted
    assert verdict.fix is None
    assert verdict.reasons == ()


@pytest.mark.parametrize(("o2", "he", "what"), [(0.195, 0.45, "oxygen"), (0.18, 0.424, "helium"),
                                               (0.169, 0.485, "oxygen")])  # fmt: skip
def test_outside_it_is_refused_with_the_fix(o2, he, what):
    verdict = judged(o2, he)
    assert not verdict.accepted
    assert what in verdict.reasons[0]
    assert verdict.fix.mix.o2 == pytest.approx(0.18, abs=1e-9)
    assert verdict.fix.mix.he == pytest.approx(0.45, abs=1e-9)
    assert verdict.fix.receiver.contents.o2 == pytest.approx(o2)  # starts from what was analysed


def test_where_there_is_no_fix_it_says_why():
    verdict = judged(0.195, 0.40, room(AIR_SOURCE))
    assert verdict.fix is None
    assert "cannot be mixed" in verdict.fix_refused


def test_a_stricter_house():
    assert judged(0.188, 0.45).accepted
    assert not judged(0.188, 0.45, tolerance=Tolerance(0.005, 0.01)).accepted


def test_oxygen_alone_is_no_analysis():
    with pytest.raises(NoSafeAnswer, match="only oxygen was analysed"):
        judged(0.18, None)


def test_refusals():
    with pytest.raises(InputError, match="nobody"):
        read(0.18, 0.45, by=" ")
    with pytest.raises(InputError, match="no pressure"):
        read(0.18, 0.45, bar=-1.0)
    with pytest.raises(InputError, match="no mixture"):
        read(0.6, 0.6)
