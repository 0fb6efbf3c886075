"""Fill files: the examples, the page, units as equals, and every fault with its line."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

import pytest

from slatewright.errors import NoSafeAnswer, PlanFileError
from slatewright.fill.checked import check_analyses
from slatewright.fill.fillfile import read_fill_file
from slatewright.fill.leftovers import Known, UseKind
from slatewright.fill.session import do_fill_file
from slatewright.physics.units import bar_from_psi

ROOT = Path(__file__).parents[3]
FOLDER = ROOT / "examples" / "fill-room"
PAGE = ROOT / "docs" / "fill-file.md"
FILES = [path for path in sorted(FOLDER.glob("*.toml")) if path.stem != "prices"]
BASIS = re.search(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)[1]


def written(tmp_path, text):
    path = tmp_path / "fill.toml"
    path.write_text(text, "utf-8")
    return path


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)


def test_the_page_has_every_key_as_the_models_have_it():
    written_page = runpy.run_path(str(ROOT / "builders" / "fill_file_reference.py"))["written"]
    page = PAGE.read_text("utf-8")
    assert written_page(page) == page, "run builders/fill_file_reference.py"


def test_the_blocks_of_the_page_read_and_run(tmp_path, monkeypatch):
    fill, analysis, prices = blocks("toml")
    (tmp_path / "prices.toml").write_text(prices, "utf-8")
    text = fill.replace("[[source]]", '[room]\nprices = "prices.toml"\n\n[[source]]', 1)
    session = do_fill_file(written(tmp_path, text))
    assert session.bill is not None
    assert check_analyses(do_fill_file(written(tmp_path, text + analysis))).fit
    monkeypatch.chdir(ROOT)
    for code in blocks("python"):
        exec(compile(code, str(PAGE), "exec"), {})  # noqa: S102 - the page's own code


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_examples_do_what_they_say(path):
    session = do_fill_file(path)
    asked = len(session.file.fill)
    assert len(session.fills) + len(session.refused) == asked
    for fill in session.fills:
        assert str(fill.blend.mix) == str(fill.blend.target)
    assert session.cautions


def test_the_wall_day():
    session = do_fill_file(FOLDER / "the-wall.toml")
    known, deco, unknown = session.fills
    assert known.spread is not None
    assert unknown.spread is None
    assert session.file.known("Casper back") is Known.OXYGEN_ANALYSED
    assert any("only oxygen" in caution for caution in unknown.cautions)
    before = session.before
    banks = {s.name: s.bank for s in before.sources if s.bank}
    after = {s.name: s.bank for s in session.room.sources if s.bank}
    drawn = sum(fill.blend.helium_mol for fill in session.fills)
    assert banks["helium"].amount_mol - after["helium"].amount_mol == pytest.approx(drawn)
    assert session.bill.total == sum(fill.blend.bill.total for fill in session.fills)
    assert deco.blend.steps[0].source == "oxygen"


def test_the_week_is_ordered_with_and_without_booster():
    session = do_fill_file(FOLDER / "the-week.toml")
    assert session.order is not None
    assert len(session.order.fills) == len(session.file.need)
    assert session.order_unboosted is not None
    assert session.order_unboosted.cost > session.order.cost


def test_imperial_is_an_equal(tmp_path):
    metric = do_fill_file(written(tmp_path, BASIS))
    text = BASIS.replace('"metric"', '"imperial"')
    for name, bar in (("gauge", 90), ("to", 220)):
        text = text.replace(f"{name}_bar = {bar}", f"{name}_psi = {bar / bar_from_psi(1.0):.6f}")
    imperial = do_fill_file(written(tmp_path, text))
    pairs = zip(metric.fills[0].blend.steps, imperial.fills[0].blend.steps, strict=True)
    for one, other in pairs:
        assert one.gauge_bar == pytest.approx(other.gauge_bar, abs=1e-4)


def test_an_order_without_offers_is_refused(tmp_path):
    need = '\n[[need]]\ndive = 1\nowner = "M"\nsize = "twin 12"\nmix = "18/45"\nto_bar = 200\n'
    text = BASIS.replace('size = "twin 12"', 'size = "twin 12"\nowner = "M"')
    with pytest.raises(NoSafeAnswer, match="no supply cylinder is on offer"):
        do_fill_file(written(tmp_path, text + need + "left_bar = 80\n"))


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('gas = "helium"', 'gas = "hydrogen"', "no mixture"),
        ("to_bar = 220", "to_bar = 600", "out of range"),
        ("to_bar = 220", "", "is missing"),
        ("to_bar = 220", "to_psi = 3200", "no key of a file in metric units"),
        ("gauge_bar = 90", "", "is missing"),
        ('holds = "18/45"', "", "even an empty cylinder"),
        ('holds = "18/45"', 'holds = "18/45"\nevacuated = true', "something is in it"),
        ('size = "twin 12"', 'size = "quad 12"', "no shipped cylinder"),
        ('cylinder = "back gas"', 'cylinder = "front gas"', "no cylinder 'front gas'"),
        ('name = "oxygen"', 'name = "helium"', "is taken"),
        ('units = "metric"', 'units = "metric"\ncolour = "red"', "no key"),
        ("oxygen_clean = true", "oxygen_clean = 1", "neither true nor false"),
        ("test_due = 2033-03-31", "test_due = 2033", "does not fit"),
        ('schema = "slatewright/fill/1"', 'schema = "slatewright/fill/9"', "none of the choices"),
        ("date = 2031-05-09", 'date = 2031-05-09\n[room]\nchoose = "least cost"', "no prices"),
        ("[[fill]]", "[booster]\nhighest_ratio = 8\n[[fill]]", "is missing"),
    ],
)
def test_faults_have_their_line(tmp_path, old, new, what):
    assert old in BASIS
    text = BASIS.replace(old, new, 1)
    with pytest.raises(PlanFileError, match=what) as caught:
        read_fill_file(written(tmp_path, text))
    assert all(fault.line > 0 for fault in caught.value.faults)
    assert "fill.toml:" in str(caught.value)


def test_a_fill_twice_is_refused(tmp_path):
    text = BASIS + '\n[[fill]]\ncylinder = "back gas"\nmix = "air"\nto_bar = 100\n'
    with pytest.raises(PlanFileError, match="filled twice"):
        read_fill_file(written(tmp_path, text))


def test_nothing_to_fill_is_refused(tmp_path):
    with pytest.raises(PlanFileError, match="nothing to fill"):
        read_fill_file(written(tmp_path, BASIS.partition("[[fill]]")[0]))


def test_all_faults_are_named_at_once(tmp_path):
    text = BASIS.replace("to_bar = 220", "to_bar = 600")  # a fault of a table of its own
    text = text.replace('holds = "18/45"', "").replace('name = "oxygen"', 'name = "helium"')
    with pytest.raises(PlanFileError) as caught:
        read_fill_file(written(tmp_path, text))
    told = str(caught.value)
    assert len(caught.value.faults) == 3
    assert [what in told for what in ("out of range", "even an empty", "is taken")] == [True] * 3
    lines = [fault.line for fault in caught.value.faults]
    assert lines == sorted(lines)


def test_a_leftover_may_be_decanted_into_the_emptiest_cylinder_that_is_not_filled(tmp_path):
    more = "".join(
        f'\n[[cylinder]]\nname = "{name}"\nsize = "twin 12"\nholds = "{mix}"\ngauge_bar = {bar}\n'
        'known = "both analysed"\ntest_due = 2033-03-31\noxygen_clean = true\n'
        for name, mix, bar in (("last week", "18/45", 90), ("spare", "air", 5))
    )
    session = do_fill_file(written(tmp_path, BASIS + more))
    (left,) = session.leftovers
    assert left.receiver.label == "last week"
    (decant,) = [use for use in left.uses if use.kind is UseKind.DECANT]
    assert "spare" in decant.text


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("evacuated = true", 'holds = "air"\ngauge_psi = 3300', "3300 psi in 'stage' is above"),
        ("evacuated = true", 'holds = "air"\ngauge_psi = 2700\nworking_psi = 2640', "of 2640 psi"),
    ],
)
def test_a_cylinder_that_is_overfull_is_told_at_its_line_and_in_its_units(tmp_path, old, new, told):
    text = (FOLDER / "quarry-imperial.toml").read_text("utf-8").replace(old, new)
    with pytest.raises(PlanFileError) as caught:
        do_fill_file(written(tmp_path, text))
    (fault,) = caught.value.faults
    assert told in fault.what
    assert text.split("\n")[fault.line - 1].startswith("gauge_psi")
    assert " bar" not in f"{fault.what}{fault.right}"
