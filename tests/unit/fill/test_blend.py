"""Blends: which recipe, in which order, what is refused, and what is offered instead."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from slatewright.errors import InputError, NoSafeAnswer
from slatewright.fill.banks import bank_of
from slatewright.fill.blend import blend, conserved_mol
from slatewright.fill.booster import Booster
from slatewright.fill.reach import OutOfReach, nearest_mix, toppings
from slatewright.fill.room import Choice, First, Source
from slatewright.fill.steps import StepKind
from slatewright.physics.amount import HELIUM, NITROGEN
from slatewright.physics.mixture import AIR, Mixture
from slatewright.physics.units import UnitSystem
from unit.fill.fillroom import (
    AIR_SOURCE,
    DAY,
    HELIUM_SOURCE,
    OXYGEN_SOURCE,
    PRICES,
    cylinder,
    room,
)


def sources(fill):
    return [step.source or "drain" for step in fill.steps]


def test_a_fill_ends_at_its_mix_and_pressure():
    fill = blend(cylinder("21/35", 60.0), Mixture(0.15, 0.55), 220.0, room())
    assert fill.mix.o2 == pytest.approx(0.15, abs=1e-9)
    assert fill.mix.he == pytest.approx(0.55, abs=1e-9)
    assert fill.settled_gauge_bar == pytest.approx(220.0, abs=1e-6)
    assert conserved_mol(fill) < 1e-9


def test_warm_gas_reads_higher_and_settles_to_what_was_asked():
    fill = blend(cylinder("air"), Mixture(0.18, 0.45), 200.0, room(fill_temperature_k=308.15))
    assert fill.fill_gauge_bar > 208.0
    assert fill.settled_gauge_bar == pytest.approx(200.0, abs=1e-6)
    last = fill.steps[-1]
    assert fill.reading_bar(last, 293.15) == pytest.approx(200.0, abs=1e-6)


def test_what_is_right_already_needs_no_step():
    fill = blend(cylinder("18/45", 200.0), Mixture(0.18, 0.45), 200.0, room())
    assert fill.steps == ()
    assert fill.contents.total_mol == pytest.approx(fill.receiver.contents.total_mol)


def test_too_much_of_the_right_mix_is_let_out():
    fill = blend(cylinder("18/45", 220.0), Mixture(0.18, 0.45), 200.0, room())
    assert sources(fill) == ["drain"]
    assert fill.drained_free_l > 0.0


def test_a_rich_leftover_is_drained_as_little_as_it_takes():
    fill = blend(cylinder("EAN50", 110.0), Mixture(0.12, 0.60), 200.0, room())
    assert sources(fill)[0] == "drain"
    assert "oxygen" not in sources(fill)  # all oxygen that it needs was kept
    assert 0.0 < fill.steps[0].gauge_bar < 110.0


def test_a_new_cylinder_is_full_of_something():
    full, pumped = (blend(c, Mixture(0.5), 200.0, room()) for c in (cylinder("air"), cylinder()))
    assert full.steps[-1].free_l < pumped.steps[-1].free_l - 10.0  # its air counts
    assert full.steps[0].gauge_bar == pytest.approx(pumped.steps[0].gauge_bar + 1.0, abs=0.05)


def test_habit_decides_the_order():
    for first, expected in (
        (First.HELIUM, ["helium", "oxygen", "air"]),
        (First.OXYGEN, ["oxygen", "helium", "air"]),
    ):
        fill = blend(cylinder("air"), Mixture(0.18, 0.45), 200.0, room(first=first))
        assert sources(fill) == expected


def test_pressure_overrules_habit():
    weak = replace(OXYGEN_SOURCE, highest_gauge_bar=60.0)
    fill = blend(cylinder("air"), Mixture(0.18, 0.45), 200.0, room(HELIUM_SOURCE, weak, AIR_SOURCE))
    assert sources(fill) == ["oxygen", "helium", "air"]


def test_fewest_steps_and_least_helium_differ():
    banked = Source("banked 21/35", Mixture(0.21, 0.35))
    start = cylinder("21/35", 80.0)
    rooms = [
        room(HELIUM_SOURCE, OXYGEN_SOURCE, AIR_SOURCE, banked, choice=choice)
        for choice in (Choice.FEWEST_STEPS, Choice.LEAST_HELIUM)
    ]
    few, lean = (blend(start, Mixture(0.21, 0.35), 200.0, r) for r in rooms)
    assert sources(few) == ["banked 21/35"]
    assert lean.helium_mol <= few.helium_mol + 1e-9


def test_least_cost_prefers_draining_where_helium_is_dear_and_oxygen_free():
    rooms = [
        room(prices=PRICES, choice=choice) for choice in (Choice.LEAST_COST, Choice.LEAST_HELIUM)
    ]
    cheap, lean = (blend(cylinder("EAN32", 90.0), Mixture(0.18, 0.45), 210.0, r) for r in rooms)
    assert cheap.bill.total <= lean.bill.total
    assert lean.helium_mol <= cheap.helium_mol + 1e-9


def test_least_cost_needs_prices():
    with pytest.raises(InputError, match="no prices"):
        room(choice=Choice.LEAST_COST)


@pytest.mark.parametrize(
    ("mix", "bar", "sources_", "why"),
    [
        ("18/45", 200.0, (OXYGEN_SOURCE, AIR_SOURCE), "at most .* helium"),
        ("EAN18", 200.0, (OXYGEN_SOURCE, AIR_SOURCE), "at least .* oxygen"),
        ("EAN40", 200.0, (HELIUM_SOURCE, AIR_SOURCE), "at most .* oxygen"),
    ],
)
def test_out_of_reach_says_why_and_what_else(mix, bar, sources_, why):
    start, made = cylinder("air", 40.0), room(*sources_)
    with pytest.raises(OutOfReach, match=why) as caught:
        blend(start, Mixture.parse(mix), bar, made)
    nearest = caught.value.nearest
    fill = blend(start, nearest, bar, made)  # what is offered can be had
    assert fill.mix.o2 == pytest.approx(nearest.o2, abs=1e-7)
    assert fill.mix.he == pytest.approx(nearest.he, abs=1e-7)
    assert [top.source for top in caught.value.toppings] == [s.name for s in sources_]


def test_an_imperial_room_is_told_in_psi():
    start, made = cylinder("air", 40.0), room(AIR_SOURCE, units=UnitSystem.IMPERIAL)
    with pytest.raises(OutOfReach) as caught:
        blend(start, Mixture.parse("18/45"), 200.0, made)
    told = str(caught.value)
    assert "2901 psi" in told  # 200 bar at 14.5038 psi a bar
    assert " bar" not in told
    with pytest.raises(NoSafeAnswer) as caught:
        blend(start, AIR, 240.0, made)
    told = str(caught.value)
    assert "3481 psi is above its working pressure of 3365 psi" in told
    assert " bar" not in told


def test_the_nearest_of_a_reachable_mix_is_itself():
    mix = Mixture(0.18, 0.45)
    assert nearest_mix(cylinder("air"), mix, 200.0, room()) == mix


def test_no_nearer_mix_is_found_by_trying():
    start, made, mix = cylinder("EAN32", 100.0), room(OXYGEN_SOURCE, AIR_SOURCE), Mixture(0.18, 0.2)
    near = nearest_mix(start, mix, 200.0, made)
    best = (near.o2 - mix.o2) ** 2 + (near.he - mix.he) ** 2
    for percent in range(18, 60):
        other = Mixture(percent / 100.0)
        try:
            blend(start, other, 200.0, replace(made, tolerance=replace(made.tolerance, o2=1e-6)))
        except OutOfReach:
            continue
        assert (other.o2 - mix.o2) ** 2 + mix.he**2 >= best - 1e-9


def test_topping_alone():
    (helium, _, air) = toppings(cylinder("21/35", 90.0), 200.0, room())
    assert helium.mix.he > 0.35
    assert air.mix.he < 0.35
    assert toppings(cylinder("21/35", 210.0), 200.0, room()) == ()


def test_oxygen_on_air_is_filled_as_near_as_it_goes_and_said():
    fill = blend(cylinder("air"), Mixture(1.0), 200.0, room())
    assert 0.99 < fill.mix.o2 < 1.0
    assert any("cannot be met exactly" in caution for caution in fill.cautions)
    exact = blend(cylinder(), Mixture(1.0), 200.0, room())
    assert exact.mix.o2 == 1.0
    assert exact.cautions == ()


def test_a_bank_without_pressure_is_named_with_the_highest_fill():
    bank = bank_of(HELIUM, [("A", 50.0, 90.0)])
    made = room(Source("helium", HELIUM, bank=bank), OXYGEN_SOURCE, AIR_SOURCE, first=First.HELIUM)
    with pytest.raises(OutOfReach, match="helium would have to fill to") as caught:
        blend(cylinder(), Mixture(0.1, 0.7), 220.0, made)
    highest = caught.value.highest_gauge_bar
    assert highest is not None
    assert blend(cylinder(), Mixture(0.1, 0.7), highest, made).steps
    with pytest.raises(OutOfReach):
        blend(cylinder(), Mixture(0.1, 0.7), highest + 1.0, made)
    boosted = replace(
        made, sources=(replace(made.sources[0], boosted=True), *made.sources[1:]),
        booster=Booster(20.0, 250.0, 8.0),
    )  # fmt: skip
    fill = blend(cylinder(), Mixture(0.1, 0.7), 220.0, boosted)
    assert [move.boosted for move in fill.steps[0].moves] == [False, True]


def test_a_bank_that_gives_out_is_used_up_and_the_rest_made_otherwise():
    spare = Source("last helium", HELIUM, bank=bank_of(HELIUM, [("A", 20.0, 60.0)]))
    full = Source("helium", HELIUM, bank=bank_of(HELIUM, [("B", 50.0, 200.0)]))
    made = room(spare, OXYGEN_SOURCE, AIR_SOURCE)
    with pytest.raises(OutOfReach):
        blend(cylinder("air"), Mixture(0.12, 0.6), 200.0, made)
    weak = replace(full, highest_gauge_bar=200.0)
    both = room(spare, replace(weak, bank=bank_of(HELIUM, [("B", 10.0, 200.0)])),
                OXYGEN_SOURCE, AIR_SOURCE)  # fmt: skip
    fill = blend(cylinder("air"), Mixture(0.12, 0.6), 180.0, both)
    assert sources(fill)[:2] == ["last helium", "helium"]
    assert fill.mix.he == pytest.approx(0.6, abs=1e-9)
    assert conserved_mol(fill) < 1e-9


def test_an_overfill_is_refused():
    with pytest.raises(NoSafeAnswer, match="above its working pressure"):
        blend(cylinder("air"), Mixture(0.18, 0.45), 240.0, room())


def test_a_fill_that_is_too_high_while_warm_is_refused():
    with pytest.raises(NoSafeAnswer, match="while warm"):
        blend(cylinder("air"), Mixture(0.18, 0.45), 230.0, room(fill_temperature_k=308.15))


def test_a_test_that_has_run_out_is_refused():
    old = cylinder("air", test_due=date(2031, 5, 8))
    with pytest.raises(NoSafeAnswer, match="valid until 2031-05-08"):
        blend(old, Mixture(0.18, 0.45), 200.0, room())
    assert blend(replace(old, test_due=DAY), Mixture(0.18, 0.45), 200.0, room()).cautions == ()


def test_what_is_not_known_is_a_caution():
    new = cylinder("air", test_due=None, oxygen_clean=None)
    cautions = blend(new, Mixture(0.18, 0.45), 200.0, room()).cautions
    assert any("test date not known" in caution for caution in cautions)
    assert any("clean for oxygen" in caution for caution in cautions)


def test_oxygen_goes_only_into_what_is_clean():
    dirty = cylinder("air", oxygen_clean=False)
    with pytest.raises(NoSafeAnswer, match="not clean for oxygen"):
        blend(dirty, Mixture(0.18, 0.45), 200.0, room())
    assert blend(dirty, AIR, 200.0, room(AIR_SOURCE)).cautions == ()


@pytest.mark.parametrize("bar", [0.0, -5.0, float("nan")])
def test_no_pressure_of_a_fill(bar):
    with pytest.raises(InputError, match="is none"):
        blend(cylinder("air"), AIR, bar, room())


def test_nitrogen_is_a_source_like_others():
    made = room(Source("nitrogen", NITROGEN), OXYGEN_SOURCE)
    fill = blend(cylinder(), Mixture(0.18), 200.0, made)
    assert fill.mix.o2 == pytest.approx(0.18, abs=1e-9)
    assert all(step.kind is StepKind.ADD for step in fill.steps)


def test_names_of_sources_are_their_own():
    with pytest.raises(InputError, match="name of its own"):
        room(AIR_SOURCE, AIR_SOURCE)
