"""The trade's notation, read and printed."""

from __future__ import annotations

import pytest

from slatewright.errors import InputError
from slatewright.physics.mixture import AIR, OXYGEN, Mixture


@pytest.mark.parametrize(
    ("text", "o2", "he"),
    [
        ("air", 0.21, 0.0),
        ("AIR ", 0.21, 0.0),
        ("O2", 1.0, 0.0),
        ("o\u2082", 1.0, 0.0),  # a subscript two
        ("oxygen", 1.0, 0.0),
        ("EAN50", 0.5, 0.0),
        ("ean 32", 0.32, 0.0),
        ("EANx36", 0.36, 0.0),
        ("EAN32.5", 0.325, 0.0),
        ("EAN32%", 0.32, 0.0),
        ("50%", 0.5, 0.0),
        ("50 %", 0.5, 0.0),
        ("10/70", 0.10, 0.70),
        (" 10 / 70 ", 0.10, 0.70),
        ("10,5/70", 0.105, 0.70),
        ("Tx 18/45", 0.18, 0.45),
        ("trimix 18/45", 0.18, 0.45),
        ("21/0", 0.21, 0.0),
        ("100/0", 1.0, 0.0),
        ("10/90", 0.1, 0.9),
        ("10\u00a0/\u00a070", 0.10, 0.70),  # spaces that do not break
        ("10\u204470", 0.10, 0.70),  # fraction slash
        ("10\u221570", 0.10, 0.70),  # division slash
        ("\uff11\uff10\uff0f\uff17\uff10", 0.10, 0.70),  # wide figures
    ],
)
def test_notation_is_read(text, o2, he):
    mix = Mixture.parse(text)
    assert mix.o2 == pytest.approx(o2)
    assert mix.he == pytest.approx(he)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "is no mixture"),
        ("nitrox", "is no mixture"),
        ("10/70/20", "is no mixture"),
        ("-10/70", "is no mixture"),
        ("10 70", "is no mixture"),
        ("EAN1e1", "is no mixture"),
        ("nan/70", "is no mixture"),
        ("50", "does not say what it counts"),
        ("30/80", "no mixture"),
        ("0/50", "no mixture"),
        ("EAN120", "no mixture"),
        ("0.21/0.35", "perhaps 21/35"),
        ("EAN0.32", "perhaps 32"),
        ("0,5%", "perhaps 50"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_would_be_right(text, message):
    with pytest.raises(InputError, match=message) as caught:
        Mixture.parse(text)
    assert caught.value.right


@pytest.mark.parametrize(
    ("mix", "text"),
    [
        (AIR, "air"),
        (OXYGEN, "O2"),
        (Mixture(0.5), "EAN50"),
        (Mixture(0.325), "EAN32.5"),
        (Mixture(0.1, 0.7), "10/70"),
        (Mixture(0.1, 0.9), "10/90"),
        (Mixture(0.105, 0.682), "10.5/68.2"),
        (Mixture(0.9996), "EAN99.9"),  # not O2 and not EAN100: it is not pure
        (Mixture(0.2098), "EAN21"),  # not 'air': it is not exactly that
        (Mixture(0.21, 0.0003), "21/0.1"),  # a trace of helium is not none
        (Mixture(0.0003, 0.9), "0.1/90"),
        (Mixture(0.9997, 0.0003), "99.9/0.1"),
        (Mixture(0.1006, 0.8994), "10.1/89.9"),
        (Mixture(0.10054, 0.89946), "10.1/89.9"),
        (Mixture(1.0 - 1e-12), "O2"),  # the dust of binary fractions
    ],
)
def test_a_mix_prints_as_what_it_is(mix, text):
    assert str(mix) == text


def test_numbers_that_both_round_up_still_sum_to_a_hundred():
    mix = Mixture(0.1005 + 1e-12, 0.8995 + 1e-12)  # the dust of binary fractions on both
    text = str(mix)
    o2, he = (float(part) for part in text.split("/"))
    assert o2 + he <= 100.0
    assert Mixture.parse(text).o2 == pytest.approx(mix.o2, abs=1e-3)
    assert Mixture.parse(text).he == pytest.approx(mix.he, abs=1e-3)


def test_nitrogen_is_the_rest():
    assert Mixture(0.1, 0.7).n2 == pytest.approx(0.2)
    assert Mixture(0.1, 0.9).n2 == 0.0


@pytest.mark.parametrize(
    ("o2", "he"),
    [(0.0, 0.5), (-0.1, 0.0), (1.1, 0.0), (0.5, 0.6), (0.1, 1.0), (float("nan"), 0.0)],
)
def test_impossible_fractions_are_refused(o2, he):
    with pytest.raises(InputError, match="is no mixture"):
        Mixture(o2, he)
