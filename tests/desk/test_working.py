"""A number shows its working, on every page in the same way."""

from __future__ import annotations

import html
import re

import pytest
from fastapi import APIRouter
from markupsafe import Markup

from slatewright.desk.board import board
from slatewright.desk.pages.working import ACCOUNT_PAGE, ACCOUNT_PART
from slatewright.desk.rendering import templates
from slatewright.desk.visit import OnVisit
from slatewright.desk.workings import (
    Account,
    Row,
    Shown,
    references_of,
    rules_named,
    rules_that_decided,
)
from slatewright.dive.house_rules import HouseRules
from slatewright.sources.formulary import all_formulas
from slatewright.store.settings import HOUSE_RULES, save_setting

from .calling import HTMX
from .conftest import NOON

VALUES = {"o2": 0.32, "limit_bar": 1.4, "surface_bar": 1.01325, "bar_per_m": 0.1}
MINUS = "\N{MINUS SIGN}"
DEPTH = Shown("33", "m", "operating-depth", VALUES, ("ppo2_tolerance_bar",))


def words(text):
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))


def test_the_working_of_a_number_shows_all_that_made_it(desk):
    text = words(desk.get(DEPTH.href).text)
    assert f"d = (p max / f O2 {MINUS} p s ) / w" in text
    # 1.4 bar over 0.32 is 4.375 bar; less 1.01325 bar, at 0.1 bar a metre: 33.6175 m
    assert f"(4.375 {MINUS} 1.01325) / 0.1" in text
    assert "33.6175 m" in text
    assert "decided by house rule ppo2_tolerance_bar = 0.03" in text
    assert " house rule ppo2_bottom_max_bar = 1.4" in text
    assert "US Navy Diving Manual" in text


def test_the_house_rules_are_those_of_the_workspace(desk, store):
    own = 'schema = "slatewright/house-rules/1"\nppo2_tolerance_bar = 0.01\n'
    with store.write() as session:
        save_setting(session, HOUSE_RULES, 0, own, now=NOON)
    assert "ppo2_tolerance_bar = 0.01" in desk.get(DEPTH.href).text


def test_house_rules_with_a_fault_are_refused_and_none_is_guessed(desk, store):
    with store.write() as session:
        save_setting(session, HOUSE_RULES, 0, "floor_bar = 0.1", now=NOON)
    answer = desk.get(DEPTH.href)
    assert answer.status_code == 422
    assert "floor_bar" in answer.text


def test_page_and_fragment_are_the_same_block(desk):
    page, part = desk.get(DEPTH.href).text, desk.get(DEPTH.href, headers=HTMX).text
    assert part.strip() in page
    assert "<html" not in part
    whole = desk.get(DEPTH.href, headers={**HTMX, "HX-Request-Type": "full"}).text
    assert whole.count("<html") == 1


@pytest.mark.parametrize("formula", all_formulas(), ids=lambda formula: formula.name)
def test_every_formula_has_a_page(desk, formula):
    answer = desk.get(f"/working/{formula.name}")
    assert answer.status_code == 200
    assert html.escape(formula.title, quote=False) in answer.text.replace("&#39;", "'")
    assert all(f'name="{name}"' in answer.text for name in formula.symbols)


def test_all_formulas_are_in_the_list(desk):
    text = desk.get("/formulas").text
    assert all(f'href="/working/{formula.name}"' in text for formula in all_formulas())


@pytest.mark.parametrize(
    ("asked", "words_of_it"),
    [
        ("o2=0.32", "no number for limit_bar, surface_bar, bar_per_m"),
        ("o2=0.32&limit_bar=9&surface_bar=1.01325&bar_per_m=0.1", "outside the range"),
        ("o2=0&limit_bar=1.4&surface_bar=1.01325&bar_per_m=0.1", "no value for these numbers"),
        ("o2=%3Cscript%3E&limit_bar=1.4&surface_bar=1.01325&bar_per_m=0.1", "no number for o2"),
        ("o2=nan&limit_bar=1.4&surface_bar=1.01325&bar_per_m=0.1", "no number for o2"),
        ("o2=inf&limit_bar=1.4&surface_bar=1.01325&bar_per_m=0.1", "no number for o2"),
    ],
)
def test_no_number_is_shown_that_means_nothing(desk, asked, words_of_it):
    answer = desk.get(f"/working/operating-depth?{asked}")
    assert answer.status_code == 422
    assert words_of_it in answer.text
    assert "<script>" not in answer.text
    assert 'class="result"' not in answer.text


def test_a_rule_that_is_none_is_left_out(desk):
    assert desk.get(f"{DEPTH.href}&rule=nonsense&rule=model_fields").status_code == 200


def test_a_number_is_a_link_that_works_without_script():
    macro = templates().get_template("_number.html").module.number
    shown = str(macro(DEPTH, label="operating depth of EAN32"))
    link = html.unescape(re.search(r'href="([^"]+)"', shown)[1])
    assert link == DEPTH.href
    assert link.startswith("/working/operating-depth?o2=0.32&limit_bar=1.4&")
    assert link.endswith("&rule=ppo2_tolerance_bar")
    assert 'class="number"' in shown  # by which desk.js knows it
    assert "operating depth of EAN32: 33 m. Show the working" in shown
    assert "<a" not in str(macro(Shown("96", "m")))


def test_numbers_keep_every_digit_on_the_way(desk):
    third = Shown("x", "", "operating-depth", {**VALUES, "o2": 1.0 / 3.0})
    assert f"o2={1.0 / 3.0!r}" in third.href
    assert f'value="{1.0 / 3.0!r}"' in desk.get(third.href).text


def test_an_account_tells_what_no_single_formula_does(app, desk):
    router = APIRouter()
    account = Account(
        title="Run time",
        number=Shown("147", "min"),
        sentences=("All legs, one after the other.",),
        rows=(Row("stop at 21 m on EAN50", Shown("3", "min")), Row("operating depth", DEPTH)),
        rules=rules_that_decided(HouseRules(), ["whole_minutes"]),
        sources=("[NOAA1991] p. 3-11",),
        references=references_of(["[NOAA1991] p. 3-11"]),
    )

    @router.get("/told")
    def told(visit: OnVisit):
        return visit.show(ACCOUNT_PAGE, account, fragment=ACCOUNT_PART)

    app.include_router(router)
    page = desk.get("/told").text
    text = words(page)
    assert "Run time" in text
    assert "stop at 21 m on EAN50 3 min" in text
    assert "decided by house rule whole_minutes = run time" in text
    assert "NOAA" in text
    assert html.escape(DEPTH.href) in page
    assert desk.get("/told", headers=HTMX).text.strip() in page


def test_rules_are_told_once_and_in_words():
    told = rules_that_decided(HouseRules(), ["floor_bar", "nonsense", "floor_bar"])
    assert [rule.name for rule in told] == ["floor_bar"]
    assert told[0].question.endswith("[bar]")
    assert rules_named(HouseRules(), ["floor_bar"])[0].decided == "house rule floor_bar = 0.18"


@pytest.mark.parametrize(
    ("plain", "set_out"),
    [
        ("p_max / f_O2 - p_s", "p<sub>max</sub> / f<sub>O2</sub> \u2212 p<sub>s</sub>"),
        ("depth_at_pressure_m(p_s, w)", "<i>depth at pressure</i>(p<sub>s</sub>, w)"),
        ("x^2", "x<sup>2</sup>"),
        ("t^(a - b)", "t<sup>a \u2212 b</sup>"),
        ("t^(a / (b + 1)) + 1", "t<sup>a / (b + 1)</sup> + 1"),
        ("t^(a", "t^(a"),
        ("x^-2", "x<sup>-2</sup>"),
        ("rho_w g + rhombus", "\u03c1<sub>w</sub> g + rhombus"),
        ("(-3.5) + 1e-05", "(\u22123.5) + 1e-05"),
        ("n_O2' = n_O2", "n<sub>O2&#39;</sub> = n<sub>O2</sub>"),
        ("<script>", "&lt;script&gt;"),
        ("a_<b>", "a_&lt;b&gt;"),
    ],
)
def test_an_equation_is_set_as_on_a_board(plain, set_out):
    assert board(plain) == Markup(set_out)  # noqa: S704 - it is what must come out
