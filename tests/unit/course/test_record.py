"""The course record and what it lacks; the agreement's clauses. All people are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from slatewright.course.agreement import ENDS_A_DIVE, Fee, OwnWords, clauses
from slatewright.course.record import Totals
from slatewright.course.record_gaps import record_gaps
from slatewright.course.signoff import Outcome
from slatewright.course.signoff_forgetting import digests_about, forgotten
from slatewright.errors import InputError
from slatewright.logs.logged import DepthUnit, LoggedDepth
from slatewright.physics.mixture import Mixture
from unit.course.courses import JORIN, MIRREN, TEXTS, TOVE, agreement, full_record, uneven_record


def with_first(record, **more):
    first, *rest = record.dives
    return replace(record, dives=(replace(first, **more), *rest))


def gaps(record):
    return [(gap.dive, gap.what) for gap in record_gaps(record)]


def test_a_full_record_has_no_gap():
    assert record_gaps(full_record()) == ()


def test_what_differs_is_a_fact_without_a_cure():
    assert [(g.dive, g.what, g.cure) for g in record_gaps(uneven_record())] == [
        ("d3", f"{JORIN} was at 46.2 m, deeper than the 45 m planned.", ""),
        ("d3", f"{JORIN} ended the dive early: Jorin signalled cold after 14 min at depth.", ""),
    ]


@pytest.mark.parametrize(
    ("more", "what"),
    [
        ({"planned": None}, "No plan is in the record."),
        ({"analysed": ()}, f"{TOVE}: no analysis of EAN50."),
        ({"briefed": None}, "No briefing is in the record."),
        ({"achieved": ()}, f"What {TOVE} achieved is not in the record."),
    ],
)
def test_what_is_missing_is_named_with_what_fills_it(more, what):
    found = record_gaps(with_first(full_record(), **more))
    assert what in [gap.what for gap in found]
    assert all(gap.dive == "d1" and gap.cure for gap in found)


def test_each_diver_is_briefed_and_analyses_what_they_breathe():
    record = full_record()
    first = record.dives[0]
    absent = replace(first.briefed, divers=(TOVE,))
    assert gaps(with_first(record, briefed=absent)) == [("d1", f"{JORIN} was not at the briefing.")]
    by_another = (replace(first.analysed[0], by=JORIN), *first.analysed[1:])
    assert gaps(with_first(record, analysed=by_another)) == [
        ("d1", f"{TOVE}: 'Tove 1' was analysed by {JORIN}, not by who breathes it.")
    ]


@pytest.mark.parametrize(("o2_pct", "remarked"), [(51.0, False), (49.0, False), (51.1, True)])
def test_an_analysis_off_by_more_than_a_point_is_remarked(o2_pct, remarked):
    """One point of oxygen: common practice, no published source."""
    record = full_record()
    first = record.dives[0]
    off = (replace(first.analysed[0], o2_pct=o2_pct), *first.analysed[1:])
    found = gaps(with_first(record, analysed=off))
    expected = [("d1", f"{TOVE}: 'Tove 1' read 51.1 % oxygen and 0.0 % helium in place of EAN50.")]
    assert found == (expected if remarked else [])


@pytest.mark.parametrize(("feet", "deeper"), [(59.0, False), (59.1, True)])
def test_a_log_in_feet_is_judged_in_feet(feet, deeper):
    """18 m is 59.055 ft."""
    record = full_record()
    first = record.dives[0]
    done = replace(first.achieved[0], greatest=LoggedDepth(feet, DepthUnit.FEET))
    found = gaps(with_first(record, achieved=(done, *first.achieved[1:])))
    assert bool(found) is deeper


def test_a_skill_that_was_planned_and_not_signed_is_named():
    record = full_record()
    first = record.dives[0]
    planned = replace(first.planned, skills=(*first.planned.skills, "reel"))
    found = gaps(with_first(record, planned=planned))
    assert found == [
        ("d1", f"{diver}: 'Lay a line and wind it in again' was planned and is not signed.")
        for diver in (TOVE, JORIN)
    ]


def test_a_broken_chain_comes_first():
    record = full_record()
    changed = replace(record.entries[4], outcome=Outcome.NOT_YET)
    entries = (*record.entries[:4], changed, *record.entries[5:])
    (first, *_) = record_gaps(replace(record, entries=entries))
    assert "entry 5" in first.what
    (cut,) = record_gaps(replace(record, entries=record.entries[:-1]))[:1]
    assert "missing at the end" in cut.what


def test_an_entry_for_a_dive_that_is_not_there_is_named():
    record = full_record()
    assert "Entry 1 signs for 'd1'" in gaps(replace(record, dives=record.dives[1:]))[0][1]


def test_totals_are_sums_of_what_was_achieved():
    record = uneven_record()
    assert record.totals(JORIN) == Totals(3, 53 + 58 + 62, LoggedDepth(46.2))
    assert record.totals("nobody") == Totals(0, 0, None)


def test_who_was_forgotten_is_a_number_and_the_chain_stands():
    record = uneven_record()
    digest = TEXTS[JORIN].digest
    left = replace(record, texts=forgotten(record.texts, digests_about(record.entries, digest)))
    assert left.name(digest) == f"person {digest[:8]} (forgotten)"
    assert left.remark(record.entries[-1].remark) == "(forgotten)"
    assert left.name(TEXTS[TOVE].digest) == TOVE
    assert not any("chain" in gap.what for gap in record_gaps(left))


def test_a_stranger_and_a_second_dive_of_one_id_are_refused():
    record = full_record()
    with pytest.raises(InputError, match="neither a diver nor an instructor"):
        with_first(record, divers=("Somebody Else",))
    with pytest.raises(InputError, match="two dives"):
        replace(record, dives=(record.dives[0], record.dives[0]))
    assert MIRREN in record.dives[0].divers
    assert record.dives[0].planned.gases == (Mixture(0.5, 0.0),)


# --- the agreement ---


def texts_of(found):
    return {c.id: " ".join((*c.paragraphs, *c.items)) for c in found}


def test_our_clauses_say_what_the_trade_fights_about():
    said = texts_of(clauses(agreement()))
    assert list(said) == ["fees", "lost_days", "remedial_days", "ends_a_dive", "diver"]
    assert "do not buy a card" in said["fees"]
    assert "2 days are kept in reserve" in said["lost_days"]
    assert "2031-05-11, 2031-05-12" in said["lost_days"]
    assert "agreed in writing" in said["lost_days"]
    assert "220.00 EUR" in said["remedial_days"]
    assert "60 m, the limit of the course" in said["ends_a_dive"]
    assert all(item in said["ends_a_dive"] for item in ENDS_A_DIVE)


def test_the_schools_own_words_stand_in_the_place_of_ours():
    own = OwnWords(fees=("Own fees.",), ends_a_dive=("Own limit.",), words=("Own rest.",))
    found = clauses(agreement(own=own))
    said = texts_of(found)
    assert said["fees"] == "Own fees."
    assert said["words"] == "Own rest."
    assert not any(item in said["ends_a_dive"] for item in ENDS_A_DIVE)
    assert [c.id for c in found if c.own] == ["fees", "ends_a_dive", "words"]


def test_money_is_decimal_to_the_last_cent():
    fees = tuple(Fee("a tenth", Decimal("0.10")) for _ in range(3))
    assert agreement(fees=fees).total == Decimal("0.30")
    assert agreement(fees=()).total == 0


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"diver": " "}, "diver: is empty"),
        ({"ends_on": date(2031, 5, 4)}, "before it begins"),
        ({"fees": (Fee("x", Decimal(-1)),)}, "-1 is no price"),
        ({"remedial_day_price": Decimal("NaN")}, "NaN is no price"),
        ({"currency": "euro"}, "no currency"),
        ({"reserve_days": (date(2031, 6, 1),)}, "no day of the course"),
    ],
)
def test_what_cannot_be_agreed_is_refused(more, said):
    with pytest.raises(InputError, match=said):
        agreement(**more)
