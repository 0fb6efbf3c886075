"""Changes written into texts of every form that TOML has."""

from __future__ import annotations

import tomllib

import pytest

from slatewright.errors import PlanFileError
from slatewright.toml.write import fresh, merged, same

INLINE = """\
# all inline
title = 'The wall'   # a literal text
water = { kind = "sea", altitude_m = 0 } # one line
gas = [
  # the bottom
  { mix = "10/70", use = "bottom" }, # deep
  { mix = "O2", use = "decompression" }, # last
]
model.name = "ZH-L16C" # dotted
model.last_stop_m = 6
"""


def changed(text, **changes):
    """Change some entries of a text, by top-level name."""
    return merged(text, {**tomllib.loads(text), **changes})


def test_no_change_is_none_to_the_letter():
    assert changed(INLINE) == INLINE
    assert changed(INLINE.replace("\n", "\r\n")) == INLINE.replace("\n", "\r\n")


def test_a_value_within_an_inline_table():
    new = changed(INLINE, water={"kind": "fresh", "altitude_m": 0})
    assert new == INLINE.replace('"sea"', '"fresh"')


def test_a_key_more_within_an_inline_table():
    new = changed(INLINE, water={"kind": "sea", "altitude_m": 0, "latitude_deg": 36.5})
    inline = '{ kind = "sea", altitude_m = 0, latitude_deg = 36.5 } # one line'
    assert inline in new.splitlines()[2]


def test_a_value_within_an_array_of_inline_tables():
    gases = tomllib.loads(INLINE)["gas"]
    gases[1]["mix"] = "EAN80"
    assert changed(INLINE, gas=gases) == INLINE.replace('"O2"', '"EAN80"')


def test_an_array_of_another_length_is_written_anew_and_its_comments_kept_above():
    new = changed(INLINE, gas=tomllib.loads(INLINE)["gas"][:1])
    assert "# the bottom\n# deep\n# last\ngas = [" in new


def test_dotted_keys_stay_dotted():
    new = changed(INLINE, model={"name": "ZH-L16C", "last_stop_m": 3, "stop_step_m": 3})
    assert new == INLINE.replace("last_stop_m = 6", "last_stop_m = 3\nmodel.stop_step_m = 3")


def test_dotted_keys_that_go_leave_their_comment():
    raw = tomllib.loads(INLINE)
    del raw["model"]
    lines = merged(INLINE, raw).splitlines()
    assert lines[-1] == "# dotted"
    assert lines[:-1] == INLINE.splitlines()[:-2]


def test_tables_that_go_leave_their_comments():
    text = "a = 1\n# about w\n[w] # w\n# k, why\nk = 1 # k\n\n# about v\n[v]\nq = 2\n"
    assert merged(text, {"a": 1, "v": {"q": 2}}) == (
        "a = 1\n# about w\n# w\n# k, why\n# k\n\n# about v\n[v]\nq = 2\n"
    )


def test_tables_of_an_array_keep_their_comments_where_others_come_and_go():
    text = (
        "# bottom\n[[gas]]\nmix = 'a' # A\n\n# travel\n[[gas]]\nmix = 'b' # B\n\n# stops\n[[gas]]\n"
        "mix = 'c' # C\n"
    )
    new = merged(text, {"gas": [{"mix": "0"}, {"mix": "a"}, {"mix": "c", "n": 1.0}, {"mix": "d"}]})
    assert new == (
        '[[gas]]\nmix = "0"\n\n# bottom\n[[gas]]\n'
        "mix = 'a' # A\n\n# travel\n# B\n\n# stops\n[[gas]]\n"
        "mix = 'c' # C\nn = 1\n\n[[gas]]\n"
        'mix = "d"\n'
    )


def test_an_indented_table_gets_indented_keys():
    assert merged("[w]\n  k = 1\n", {"w": {"k": 1, "m": 2}}) == "[w]\n  k = 1\n  m = 2\n"


def test_a_table_between_tables_of_an_array():
    text = "[[g]]\nk = 1\n[v]\nq = 1\n[[g]]\nk = 2\n"
    assert merged(text, {"g": [{"k": 1}, {"k": 3}], "v": {"q": 1}}) == text.replace("2", "3")


def test_a_text_without_a_last_line_end():
    assert merged("a = 1", {"a": 1, "b": 'say "x"\\'}) == 'a = 1\nb = "say \\"x\\"\\\\"\n'


def test_multi_line_values_are_replaced_whole():
    assert merged('a = """x\ny""" # c\n', {"a": "z"}) == 'a = "z" # c\n'


def test_a_new_text():
    assert fresh({"a": 1.0, "w": {"k": True}, "g": [{"n": 0.5}, {"n": [1.0, 2.0]}]}) == (
        "a = 1\n\n[w]\nk = true\n\n[[g]]\nn = 0.5\n\n[[g]]\nn = [1, 2]\n"
    )


def test_no_toml_is_refused():
    with pytest.raises(PlanFileError, match="no TOML"):
        merged("a = ", {"a": 1})


@pytest.mark.parametrize(
    ("old", "new", "equal"),
    [
        (90, 90.0, True),
        (1, True, False),
        (True, True, True),
        (["a"], "a", True),
        ("a", "b", False),
        ([1, 2], [1.0, 2.0], True),
        ([1], [1, 1], False),
        ({"a": 1}, {"a": 1.0}, True),
        ({}, {"a": 1}, False),
    ],
)
def test_same(old, new, equal):
    assert same(old, new) is equal
