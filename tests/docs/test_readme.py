"""What README and docs show on a terminal is what the command prints."""

from __future__ import annotations

import pytest

from .terminal_blocks import ROOT, Example, examples, run

DOCUMENTS = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
SHOWN = [
    pytest.param(example, id=f"{document.name}:{example.line}")
    for document in DOCUMENTS
    if document.exists()
    for example in examples(document.read_text(encoding="utf-8"))
]


def test_the_documents_have_examples():
    """The page of commands has some, so that an empty list here would be a fault."""
    assert SHOWN


@pytest.mark.parametrize("example", SHOWN)
def test_the_terminal_shows_what_is_written(example, tmp_path):
    (tmp_path / "demo-out").mkdir()
    printed = run(example.command, tmp_path)
    assert not example.differs(printed), f"{example.differs(printed)}\n\nprinted:\n{printed}"


PAGE = """
```console
$ slatewright one
a
...
d

$ slatewright two --three 'x y'
```

```text
$ another program
z
```
"""


def test_examples_are_read_out_of_a_page():
    assert examples(PAGE) == [
        Example("slatewright one", ("a", "...", "d"), 3),
        Example("slatewright two --three 'x y'", (), 8),
    ]
    assert examples("no blocks") == []


@pytest.mark.parametrize(
    ("shown", "printed", "agrees"),
    [
        ("a b", "a\nb\n\n", True),
        ("a ... d", "a\nb\nc\nd", True),
        ("a ...", "a\nb\nc", True),
        ("... c", "a\nb\nc", True),
        ("... b ...", "a\nb\nc", True),
        ("a b", "a  \nb ", True),
        ("a", "a\nb", False),
        ("b", "a\nb", False),
        ("a ... d", "a\nb\nc\nd\ne", False),
        ("a ... d ... a", "a\nb\nd", False),
        ("... x ...", "a\nb\nc", False),
        ("", "a", False),
        ("a", "", False),
        ("", "", True),
    ],
)
def test_what_agrees_and_what_does_not(shown, printed, agrees):
    assert (not Example("", tuple(shown.split()), 0).differs(printed)) is agrees


def test_only_our_own_command_is_run(tmp_path):
    with pytest.raises(AssertionError, match="only our own command"):
        run("rm -rf x", tmp_path)
