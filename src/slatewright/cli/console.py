"""The terminal: one console, its width, its few styles."""

from __future__ import annotations

import codecs
import io
import sys
from typing import TYPE_CHECKING, Final

from rich.console import Console
from rich.text import Text

if TYPE_CHECKING:
    from collections.abc import Sequence

CAUTION: Final = "bold magenta"
"""For cautions and for nothing else, as on charts."""
HEAD: Final = "bold"
SOFT: Final = "dim"

WIDEST: Final = 120
"""Longer lines are hard to read, however wide the terminal is."""

_PLAIN: Final = {
    "\u2501": "=", "\u2500": "-", "\u00b7": "*", "\u2193": "v", "\u2191": "^", "\u00b0": " deg ",
    "\u2212": "-", "\u2502": "|", "\u2026": "...", "\u2013": "-",
}  # fmt: skip


def _in_plain_signs(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign, "?") for sign in lost), error.end


_MEASURE: Final = Console(file=io.StringIO(), width=WIDEST)
_NARROWEST: Final = 20

codecs.register_error("slatewright-plain", _in_plain_signs)


def make_console() -> Console:
    """Return the console for results: standard output, at most `WIDEST` columns."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:  # a terminal without these signs gets plain ones, not an error
        reconfigure(errors="slatewright-plain")
    console = Console(highlight=False, markup=False, emoji=False)
    console.width = min(console.width, WIDEST)
    return console


def heading(words: str) -> Text:
    """Return a heading.

    Parameters
    ----------
    words
        As they are to be read; they are set in capitals.
    """
    return Text(words.upper(), HEAD)


def wrapped(text: Text, width: int, *, indent: int = 0) -> list[Text]:
    """Break a text into lines without trailing spaces, so that what is piped on is clean.

    Parameters
    ----------
    text
        One paragraph.
    width
        Columns, the indent included.
    indent
        Spaces before each line.
    """
    lines = text.wrap(_MEASURE, max(width - indent, _NARROWEST), tab_size=4)
    for line in lines:
        line.rstrip()
        line.pad_left(indent)
    return list(lines)


def entries(
    rows: Sequence[tuple[str, str | Text]], width: int, *, indent: int = 2, column: int = 0
) -> list[Text]:
    """Return names with texts beside them, each text wrapped in its own column.

    Parameters
    ----------
    rows
        Name and text.
    width
        Columns, the indent included.
    indent
        Spaces before the names.
    column
        Least width of the names' column [columns].
    """
    column = max(column, *(len(name) + 2 for name, _ in rows))
    lines: list[Text] = []
    for name, text in rows:
        paragraph = text if isinstance(text, Text) else Text(text)
        first, *rest = wrapped(paragraph, width, indent=indent + column)
        head = Text(" " * indent).append(name.ljust(column), SOFT)
        lines += [head.append_text(first[indent + column :]), *rest]
    return lines
