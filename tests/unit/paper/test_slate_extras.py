"""What a slate carries besides: gauges, short schedules, and an override that nobody overlooks."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from slatewright.decompression.leg import LegKind
from slatewright.decompression.settings import OxygenBreaks
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.paper.slate import slate_data, slate_pdf
from slatewright.paper.slate_extras import GaugeLine, ShortRow, ShortSchedule, SlateExtras
from slatewright.paper.slate_pages import slate_pages
from slatewright.paper.slate_rows import SlateRow, slate_rows
from slatewright.paper.slate_short import short_schedule
from slatewright.physics.units import UnitSystem
from unit.paper.dives import EAN50, OXYGEN, TRIMIX_10_70, TRIMIX_21_35, Writer, deep_dive

GAUGES = (
    GaugeLine("Mirren", "back 10/70", 134.2, 96.1, UnitSystem.METRIC),
    GaugeLine("Iain", "back 10/70", 140.0, None, UnitSystem.IMPERIAL),
)
CASES = (
    ShortSchedule(
        "as planned",
        20,
        (
            ShortRow(57.0, 2, 26, TRIMIX_10_70),
            ShortRow(21.0, 4, 48, EAN50),
            ShortRow(6.0, 41, 131, OXYGEN),
        ),
        133,
    ),
    ShortSchedule("3 min longer", 23, (ShortRow(60.0, 1, 29, TRIMIX_10_70),), 160),
    ShortSchedule("without EAN50", 20, (), 0, "10/70 does not last to 6 m"),
)


def read(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def test_gauges_stand_on_the_front_in_their_own_units_rounded_up() -> None:
    front, *others = read(slate_pdf(deep_dive(), SlateExtras(gauges=GAUGES)))
    for words in ("TURN AT", "MINIMUM", "Mirren", "135 bar", "97 bar", "Iain", "2040 psi"):
        assert words in front, words
        assert all(words not in other for other in others), words


def test_short_schedules_are_one_page_at_the_back() -> None:
    pages = read(slate_pdf(deep_dive(), SlateExtras(cases=CASES)))
    assert len(pages) == len(read(slate_pdf(deep_dive()))) + 1
    back = pages[-1]
    for words in ("as planned", "without EAN50", "131", "133", "160", "A model, not a guarantee"):
        assert words in back, words
    assert "NO WAY: 10/70 does not last to 6 m" in back


def test_each_case_says_its_stops_and_changes() -> None:
    (page,) = [
        p
        for p in slate_data(deep_dive(), SlateExtras(cases=CASES))["pages"]
        if p["kind"] == "short"
    ]
    assert page["depths"] == ["60", "57", "21", "6"]
    planned = [row[0] for row in page["cells"]]
    assert planned[0] is None
    assert [(c["stop"], c["until"], c["gas"]["letter"]) for c in planned[1:]] == [
        ("2", "26", "A"),
        ("4", "48", "C"),
        ("41", "131", "D"),
    ]
    assert [case["surface"] for case in page["cases"]] == ["133", "160", ""]
    assert [gas["name"] for gas in page["gases"]] == ["10/70", "EAN50", "OXYGEN"]


def test_a_short_schedule_is_read_off_the_legs_of_its_case() -> None:
    case = short_schedule("as planned", deep_dive().legs)
    long = [row for row in slate_rows(deep_dive().legs).rows if row.stop_min is not None]
    assert [(r.depth_m, r.stop_min, r.until_min, r.gas) for r in case.rows] == [
        (r.depth_m, r.stop_min, r.until_min, r.gas) for r in long
    ]
    assert (case.leave_min, case.surface_min) == (
        20,
        slate_rows(deep_dive().legs).rows[-1].until_min,
    )


def test_breaks_are_part_of_a_short_stop() -> None:
    writer = Writer(TRIMIX_21_35)
    writer.go(45.0, 20.0)
    writer.stay(20.0, LegKind.BOTTOM)
    writer.go(6.0, 13.0)  # arrives at 23
    writer.change(OXYGEN)
    writer.stay(35.0)
    writer.change(TRIMIX_21_35, minutes=0.0)
    writer.stay(41.0, pause=True)
    writer.change(OXYGEN, minutes=0.0)
    writer.stay(50.0)
    writer.go(0.0)
    assert short_schedule("x", writer.legs).rows == (ShortRow(6.0, 27, 50, OXYGEN),)


def test_imperial_depths_of_short_schedules_are_whole_feet() -> None:
    foot_m = 0.3048
    case = ShortSchedule("as planned", 20, (ShortRow(90 * foot_m, 2, 26, TRIMIX_10_70),), 50)
    data = slate_data(deep_dive(units=UnitSystem.IMPERIAL), SlateExtras(cases=(case,)))
    assert data["pages"][-1]["depths"] == ["90"]


def test_breaks_within_the_minutes_are_told_on_the_back() -> None:
    dive = deep_dive()
    settings = replace(dive.plan.settings, breaks=OxygenBreaks(12, 6))
    dive = replace(dive, plan=replace(dive.plan, settings=settings))
    assert "12 min on and 6 off" in read(slate_pdf(dive, SlateExtras(cases=CASES)))[-1]


@pytest.mark.parametrize(("cases", "levels"), [(12, 26), (1, 1), (10, 20)])
def test_the_back_is_one_page_however_much_it_holds(cases: int, levels: int) -> None:
    rows = tuple(ShortRow(3.0 * level, 10, 300 - level, EAN50) for level in range(levels, 0, -1))
    many = tuple(ShortSchedule(f"case {n} of many words", 20, rows, 301) for n in range(cases))
    extras = SlateExtras(cases=many, no_way_home=("from min 3 if x",), override="M. Fraser")
    pages = read(slate_pdf(deep_dive(), extras))
    plain = read(
        slate_pdf(deep_dive(), SlateExtras(no_way_home=("from min 3 if x",), override="M. Fraser"))
    )
    assert len(pages) == len(plain) + 1
    assert pages[-1].count("299") >= cases


@pytest.mark.parametrize(
    "extras",
    [
        SlateExtras(gauges=GAUGES * 4),
        SlateExtras(cases=CASES * 5),
        SlateExtras(
            cases=(
                ShortSchedule(
                    "x", 9, tuple(ShortRow(3.0 * n, 1, 9, EAN50) for n in range(27, 0, -1)), 9
                ),
            )
        ),
    ],
)
def test_what_would_not_be_legible_is_refused(extras: SlateExtras) -> None:
    with pytest.raises(InputError, match="do not fit"):
        slate_pdf(deep_dive(), extras)


def test_without_a_way_home_nothing_is_printed() -> None:
    extras = SlateExtras(no_way_home=("from min 14 if EAN50 is lost", "from min 15 if O2 is lost"))
    with pytest.raises(NoSafeAnswer, match="no way home from min 14 if EAN50 is lost") as caught:
        slate_pdf(deep_dive(), extras)
    assert len(caught.value.reasons) == 2


def test_an_override_stands_on_every_page_with_the_name() -> None:
    extras = SlateExtras(
        cases=CASES,
        no_way_home=("from min 14 if EAN50 is lost", "from min 15 if O2 is lost"),
        override="Mirren *Fraser* #1",
    )
    pages = read(slate_pdf(deep_dive(), extras))
    assert len(pages) >= 3
    for page in pages:
        assert (
            "NO WAY HOME from min 14 if EAN50 is lost, and in 1 more case: printed on the word of "
            "Mirren *Fraser* #1"
        ) in page


def test_an_override_of_nothing_prints_nothing() -> None:
    assert slate_data(deep_dive(), SlateExtras(override="M. Fraser"))["banner"] == ""


@pytest.mark.parametrize("name", ["", "   ", "...", "7"])
def test_an_override_needs_a_name(name: str) -> None:
    extras = SlateExtras(no_way_home=("from min 14 if EAN50 is lost",), override=name)
    with pytest.raises(InputError, match="no name of a person"):
        slate_pdf(deep_dive(), extras)


def test_breaks_are_lines_and_no_bars() -> None:
    writer = Writer(TRIMIX_21_35)
    writer.go(45.0, 20.0)
    writer.stay(20.0, LegKind.BOTTOM)
    writer.go(6.0, 13.0)
    writer.change(OXYGEN)
    for _ in range(2):
        writer.stay(writer.now_min + 12.0)
        writer.change(TRIMIX_21_35, minutes=0.0)
        writer.stay(writer.now_min + 6.0, pause=True)
        writer.change(OXYGEN, minutes=0.0)
    writer.stay(writer.now_min + 5.0)
    writer.go(0.0)
    (page,) = slate_pages(slate_rows(writer.legs))
    begins = [
        line.begins.value for line in page.lines if isinstance(line, SlateRow) and line.begins
    ]
    assert begins == ["break", "back", "break", "back"]
    text = read(slate_pdf(replace(deep_dive(), legs=tuple(writer.legs))))[0]
    assert text.count("BREAK") == text.count("BACK") == 2
