"""Heads of a sign-off book as people type and paste them."""

from __future__ import annotations

import hashlib

import pytest

from slatewright.course.signoff_head import read_head
from slatewright.errors import InputError

HEAD = hashlib.sha256(b"a book of our own invention").hexdigest()
PRINTED = " ".join(HEAD[i : i + 8] for i in range(0, 64, 8))


@pytest.mark.parametrize(
    "typed",
    [
        HEAD,
        PRINTED,
        f"  {PRINTED.upper()}\n",
        PRINTED.replace(" ", "\r\n"),
        PRINTED.replace(" ", "\N{NO-BREAK SPACE}\N{ZERO WIDTH SPACE}\t"),
    ],
)
def test_blanks_line_ends_and_capitals_do_not_count(typed):
    assert read_head(typed) == HEAD


@pytest.mark.parametrize("typed", ["", "  \n"])
def test_nothing_is_no_head(typed):
    assert read_head(typed) is None


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (HEAD[:-1], "has 63 letters, and a head has 64"),
        (HEAD + "0", "has 65 letters"),
        ("a", "has 1 letter,"),
        ("o" + HEAD[1:], "has 'o', which no head has"),
        (HEAD.replace(HEAD[0], "\N{FULLWIDTH DIGIT ONE}"), "which no head has"),
    ],
)
def test_what_is_no_head_is_said(typed, said):
    with pytest.raises(InputError, match=said):
        read_head(typed)
