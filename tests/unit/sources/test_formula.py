"""Formulas as data, and the working that is read from their own lines."""

from __future__ import annotations

import math

import pytest

from slatewright.sources import Symbol, formula, formula_named, formulas, working
from slatewright.sources.bibliography import cited_keys
from slatewright.sources.formula import _REGISTER, formula_of

OFFSET_BAR = 1.0


@pytest.fixture
def board():
    """Register two formulas for one test, one of which calls the other."""
    before = dict(_REGISTER)

    @formula(
        name="test-inner",
        title="Inner",
        equation="p = p0 + d w",
        result=Symbol("p", "bar", "pressure"),
        symbols={
            "depth_m": Symbol("d", "m", "depth", 0.0, 100.0),
            "weight": Symbol("w", "bar/m", "weight"),
        },
        source=("made for this test",),
    )
    def inner(depth_m: float, weight: float) -> float:
        """Return a pressure."""
        gauge_bar = depth_m * weight
        if gauge_bar > 5.0:
            return OFFSET_BAR + gauge_bar
        return OFFSET_BAR + math.sqrt(gauge_bar**2)

    @formula(
        name="test-outer",
        title="Outer",
        equation="f = p / 2",
        result=Symbol("f", "-", "half"),
        symbols={"depth_m": Symbol("d", "m", "depth")},
        source=("made for this test",),
    )
    def outer(depth_m: float) -> float:
        """Return half of a pressure."""
        return inner(depth_m, weight=0.1) / 2.0

    yield inner, outer
    _REGISTER.clear()
    _REGISTER.update(before)


def test_the_working_computes_what_the_function_computes(board):
    inner, outer = board
    for depth_m in (10.0, 70.0):
        shown = working(formula_named("test-inner"), depth_m=depth_m, weight=0.1)
        assert shown.result == inner(depth_m, 0.1)
        assert working(formula_named("test-outer"), depth_m=depth_m).result == outer(depth_m)


def test_steps_stand_in_symbols_and_in_figures(board):
    shown = working(formula_named("test-inner"), depth_m=30.0, weight=0.1)
    first, decision, last = shown.steps
    assert (first.sign, first.symbols, first.figures, first.value) == (
        "gauge_bar", "d \u00b7 w", "30 \u00b7 0.1", 3.0,
    )  # fmt: skip
    assert first.unit == "bar"
    assert (decision.sign, decision.figures, decision.value) == ("", "3 > 5.0", False)
    assert last.sign == "p"
    assert last.symbols == "OFFSET_BAR + sqrt(gauge_bar ^ 2)"
    assert last.figures == "1 + sqrt(3 ^ 2)"


def test_an_inner_formula_shows_its_own_working(board):
    shown = working(formula_named("test-outer"), depth_m=30.0)
    (inner,) = shown.steps[-1].inner
    assert inner.formula.name == "test-inner"
    assert inner.values == {"depth_m": 30.0, "weight": 0.1}


def test_a_number_outside_the_range_is_told(board):
    assert working(formula_named("test-inner"), depth_m=30.0, weight=0.1).outside == ()
    (told,) = working(formula_named("test-inner"), depth_m=130.0, weight=0.1).outside
    assert "130" in told
    assert "100" in told


def test_missing_and_unknown_numbers_are_refused(board):
    with pytest.raises(TypeError, match="weight"):
        working(formula_named("test-inner"), depth_m=30.0)
    with pytest.raises(TypeError, match="height"):
        working(formula_named("test-inner"), depth_m=30.0, weight=0.1, height=3.0)


def test_symbols_must_be_the_parameters(board):
    def wrong(depth_m: float) -> float:
        """Return nothing of note."""
        return depth_m

    register = formula(
        name="test-wrong", title="", equation="", result=Symbol("x", "-", ""),
        symbols={"height_m": Symbol("h", "m", "height")}, source=("made for this test",),
    )  # fmt: skip
    with pytest.raises(ValueError, match="height_m"):
        register(wrong)


def test_a_name_is_taken_once(board):
    inner, _ = board
    register = formula(
        name="test-inner", title="", equation="", result=Symbol("x", "-", ""),
        symbols=formula_named("test-inner").symbols, source=("made for this test",),
    )  # fmt: skip
    with pytest.raises(ValueError, match="twice"):
        register(inner)


def test_the_formula_of_a_function_is_found(board):
    inner, _ = board
    assert formula_of(inner) is formula_named("test-inner")
    assert formula_of(math.sqrt) is None


def middle(symbol: Symbol) -> float:
    low = symbol.low if symbol.low is not None else 0.1
    high = symbol.high if symbol.high is not None else low + 1.0
    return 0.5 * (low + high)


def test_every_formula_of_the_house_can_be_worked():
    import slatewright.dive.schedule  # noqa: F401, PLC0415 - registers all formulas below it

    assert len(formulas()) > 20
    for one in formulas():
        # no two alike: where a quantity changes along a leg, its ends must differ
        values = {
            name: middle(symbol) * (1.0 + 0.01 * i)
            for i, (name, symbol) in enumerate(one.symbols.items())
        }
        shown = working(one, **values)
        expected = one.function(**values)
        assert shown.result == pytest.approx(float(expected), nan_ok=True)
        assert shown.steps
        assert one.source
        assert any(cited_keys(text) for text in one.source) or any(
            word in text
            for text in one.source
            for word in ("common practice", "law", "hydrostatics", "calculus")
        ), one.name
