"""Gauges side by side, and a dive with its gas judged."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.supply.full_document import full_document
from slatewright.supply.gauges import Look, gauge_blocks, minimum_rows, on_leaving
from slatewright.supply.judged import judge, way_home_hazards
from slatewright.supply.reading import planned
from slatewright.supply.supply import supply_of

EXAMPLES = Path(__file__).parents[3] / "examples"
WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
SHELF = EXAMPLES / "build-up-week" / "1-the-shelf.toml"


@cache
def plan_of(path):
    return planned(path, HouseRules())


@cache
def supply(path):
    found = plan_of(path)
    return supply_of(found.dive, found.team)


def rows_of(label, *looks):
    block = next(b for b in gauge_blocks(supply(WALL)) if b.label == label)
    return [row for row in block.rows if row.look in looks]


def test_every_cylinder_of_every_diver_stands_in_one_block():
    blocks = gauge_blocks(supply(WALL))
    assert [b.label for b in blocks] == [
        c.use.carried.label for c in supply(WALL).divers[0].cylinders
    ]
    assert all(len(row.gauges_bar) == 3 for b in blocks for row in b.rows)


def test_gauges_are_those_of_the_readings():
    for i, own in enumerate(supply(WALL).divers):
        for block, cylinder in zip(gauge_blocks(supply(WALL)), own.cylinders, strict=True):
            assert block.rows[0].gauges_bar[i] == cylinder.use.start.gauge_bar
            end = next(row for row in block.rows if row.look is Look.END)
            assert end.gauges_bar[i] == cylinder.use.end.gauge_bar


def test_readings_fall_and_come_in_order_of_time():
    for block in gauge_blocks(supply(WALL)):
        read = [row for row in block.rows if not row.look.is_needed]
        timed = [row.at_min for row in read if row.at_min is not None]
        assert timed == sorted(timed)
        for i in range(3):
            bars = [row.gauges_bar[i] for row in read]
            assert bars == sorted(bars, reverse=True)


def test_on_leaving_nothing_but_what_was_breathed_below_is_gone():
    """The back gas of the dive's last reading is lower by what the ascent on it takes."""
    own = supply(WALL).divers[0]
    leaving = on_leaving(supply(WALL), own)
    for at_leaving, cylinder in zip(leaving, own.cylinders, strict=True):
        assert at_leaving.end.at_min == 18.0
        assert at_leaving.end.gauge_bar >= cylinder.use.end.gauge_bar - 1e-9
    gas = own.kept_of(supply(WALL).turn_mix)
    left = sum(u.breathed_mol for u in leaving if u.carried.mix == supply(WALL).turn_mix)
    assert left == pytest.approx(gas.before_mol, rel=1e-9)


def test_turn_and_minimum_are_not_shown_on_a_stage_that_is_empty_by_then():
    assert not rows_of("stage 10/70", Look.TURN, Look.MINIMUM)
    turn, minimum = rows_of("back 10/70", Look.TURN, Look.MINIMUM)
    assert minimum.at_min == 18.0
    for i, own in enumerate(supply(WALL).divers):
        back = next(c for c in own.cylinders if c.use.carried.label == "back 10/70")
        assert turn.gauges_bar[i] == back.turn_gauge_bar
        assert minimum.gauges_bar[i] == back.reserve_gauge_bar


def test_minimum_gas_grows_with_depth():
    rows = minimum_rows(supply(WALL))
    assert {row.label for row in rows} == {"back 10/70"}
    for i in range(3):
        at_depth = [row.gauges_bar[i] for row in rows]
        assert at_depth == sorted(at_depth, reverse=True)


def test_a_diver_without_a_cylinder_has_no_figure():
    found = plan_of(SHELF)
    mirren, tove, casper = found.team.divers
    own = replace(mirren, kit=tuple(replace(c, label=f"own {c.label}") for c in mirren.kit))
    blocks = gauge_blocks(supply_of(found.dive, replace(found.team, divers=(own, tove, casper))))
    assert [b.label for b in blocks] == [
        "own back 18/45", "own left EAN50", "back 18/45", "left EAN50"
    ]  # fmt: skip
    assert blocks[0].sizes[1:] == (None, None)
    assert blocks[2].sizes[0] is None
    assert all(row.gauges_bar[0] is None for row in blocks[2].rows)


def test_a_judged_dive_has_all_hazards_the_most_severe_first():
    found = plan_of(SHELF)
    judged = judge(found.dive, found.team)
    order = [Severity.DANGER, Severity.WARNING, Severity.NOTE]
    ranks = [(order.index(h.severity), h.at_min) for h in judged.schedule.hazards]
    assert ranks == sorted(ranks)
    expected = {*found.dive.hazards, *judged.supply.hazards, *way_home_hazards(judged.grid)}
    assert set(judged.schedule.hazards) == expected
    assert judged.refusal is None
    assert judged.schedule.legs == found.dive.legs


def test_a_compromise_is_a_note_that_offers_no_untried_cure():
    found = plan_of(SHELF)
    notes = list(way_home_hazards(judge(found.dive, found.team).grid))
    assert [note.code for note in notes] == ["way-home-compromised"]
    assert notes[0].severity is Severity.NOTE
    assert notes[0].cure == ""


def test_the_document_is_that_of_the_dive_with_its_gas():
    found = plan_of(SHELF)
    judged = judge(found.dive, found.team)
    told = full_document(judged)
    assert "not_judged" not in told
    assert len(told["supply"]) == 6
    assert told["way_home"]["has_way_home"]
    assert all("verdict" not in row for row in told["way_home"]["failures"])
    assert [h["code"] for h in told["hazards"]] == [h.code for h in judged.schedule.hazards]


def test_a_plan_without_cylinders_has_no_team(tmp_path):
    text = SHELF.read_text(encoding="utf-8")
    kept = text.partition("[[cylinder]]")[0].replace("[[partner]]", "[[size]]")
    alone = kept.partition("[[size]]")[0] + "[[gas]]" + text.partition("[[gas]]")[2]
    gases = alone.partition("[[cylinder]]")[0]
    plan = tmp_path / "alone.toml"
    plan.write_text(f"{gases}[[level]]\ndepth_m = 45\nleave_at_min = 22\n", encoding="utf-8")
    assert planned(plan, HouseRules()).team is None


def test_looks_that_must_be_there_are_told_from_those_that_are():
    needed = {look for look in Look if look.is_needed}
    assert needed == {Look.TURN, Look.MINIMUM, Look.RESERVE}
