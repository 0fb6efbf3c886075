"""What holds for every mix-up, whatever the gases and depths."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.kit import Place, ReserveRules, Team
from slatewright.supply.mixup_breath import (
    breathe_wrongly,
    harm_of_too_little,
    harm_of_too_much,
)
from slatewright.supply.mixup_moments import moments_of
from slatewright.supply.mixups import mixups
from unit.supply.kits import carried, diver

DIVE = schedule(
    Plan(
        "a dive of our own invention",
        UnitSystem.METRIC,
        Water(),
        AscentSettings(),
        (
            CarriedGas(Mixture(0.18, 0.45), Use.BOTTOM, 1.4),
            CarriedGas(Mixture(0.5), Use.DECOMPRESSION, 1.6),
            CarriedGas(Mixture(1.0), Use.DECOMPRESSION, 1.6),
        ),
        (Level(60.0, 20.0),),
    )
)
MOMENTS = moments_of(DIVE, dropped=True)
BREATHED = [moment for moment in MOMENTS if moment.breathes]
fractions = st.floats(0.04, 1.0)


@given(ppo2=st.lists(st.floats(0.01, 12.0), min_size=2, max_size=12))
@settings(max_examples=60)
def test_more_oxygen_is_never_less_harmful_above_and_never_more_below(ppo2):
    for low, high in pairwise(sorted(ppo2)):
        assert harm_of_too_much(low, 1.63) <= harm_of_too_much(high, 1.63)
        assert harm_of_too_little(low, 0.18) >= harm_of_too_little(high, 0.18)


@given(o2=st.tuples(fractions, fractions), number=st.integers(0, len(BREATHED) - 1))
@settings(max_examples=60)
def test_a_richer_gas_is_never_judged_milder_than_the_oxygen_of_a_leaner_one(o2, number):
    """Lean gases may be judged worse for other reasons; that is why their oxygen alone counts."""
    moment, (lean, rich) = BREATHED[number], sorted(o2)
    lean_breath = breathe_wrongly(DIVE, moment, Mixture(lean, he=(1.0 - lean) / 2))
    rich_breath = breathe_wrongly(DIVE, moment, Mixture(rich, he=(1.0 - rich) / 2))
    if lean_breath is not None and rich_breath is not None:
        assert lean_breath.ppo2_bar <= rich_breath.ppo2_bar
        assert rich_breath.harm >= harm_of_too_much(lean_breath.highest_ppo2_bar, 1.63)


@given(o2=fractions, number=st.integers(0, len(MOMENTS) - 1))
@settings(max_examples=40)
def test_the_gas_that_is_meant_has_no_consequence(o2, number):
    moment = MOMENTS[number]
    assert breathe_wrongly(DIVE, moment, moment.gas) is None
    breath = breathe_wrongly(DIVE, moment, Mixture(o2))
    if breath is not None:
        assert breath.lowest_ppo2_bar <= breath.ppo2_bar <= breath.highest_ppo2_bar
        assert breath.above_ceiling_m >= 0.0


@given(spare=st.sampled_from(["18/45", "EAN50", "O2"]))
@settings(max_examples=3)
def test_a_second_cylinder_of_the_same_gas_adds_no_mixup(spare):
    kit = (
        carried("18/45", Place.BACK, 15.0, 2),
        carried("EAN50"),
        carried("O2"),
    )
    one = mixups(DIVE, Team((diver(*kit),), ReserveRules()))
    two = mixups(DIVE, Team((diver(*kit, carried(spare, label="spare")),), ReserveRules()))
    assert [m.text for m in one.found] == [m.text for m in two.found]
    assert all(m.right.mix != m.wrong.mix for m in two.found)
