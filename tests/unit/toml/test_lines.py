"""Lines of values in every form that TOML has; the line numbers are counted by hand."""

from __future__ import annotations

import pytest

from slatewright.toml.lines import TomlLines

TEXT = """\
# a comment
title = "x"
"quoted key".'b' = 1
a.b.c = [1,
  2, # two
  {x = 1, y.z = 2},
]
long = \"\"\"
several
lines\"\"\"
after = 1

[water]
kind = "sea"
[[gas]]
mix = "1"

  [[gas]] # indented
  mix = "2"
  [gas.sub]
  k = 1
  [[gas.more]]
  q = 1979-05-27
  [[gas.more]]
[ spaced . "key \\u0041" ]
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 2),
        (("quoted key", "b"), 3),
        (("a", "b", "c"), 4),
        (("a", "b", "c", 0), 4),
        (("a", "b", "c", 1), 5),
        (("a", "b", "c", 2, "x"), 6),
        (("a", "b", "c", 2, "y", "z"), 6),
        (("after",), 11),
        (("water",), 13),
        (("water", "kind"), 14),
        (("gas",), 15),
        (("gas", 0, "mix"), 16),
        (("gas", 1), 18),
        (("gas", 1, "mix"), 19),
        (("gas", 1, "sub", "k"), 21),
        (("gas", 1, "more", 0, "q"), 23),
        (("gas", 1, "more", 1), 24),
        (("spaced", "key A"), 25),
        (("water", "not there"), 13),
        (("gas", 0, "not there"), 15),
        (("nothing", "at", "all"), 1),
        ((), 1),
    ],
)
def test_line(path, line):
    assert TomlLines(TEXT).line(path) == line


def test_windows_line_ends_and_letters_of_several_bytes():
    text = 'title = "Tiefe ≈ 96 m"\r\n[water]\r\nkind = "sea"\r\n'
    assert TomlLines(text).line(("water", "kind")) == 3
