"""How wide a line of text is: the advance widths, read from the typeface itself."""

from __future__ import annotations

import struct
from functools import cache
from typing import Final

from slatewright.paper.theme import font_folder

_BOLD: Final = "AtkinsonHyperlegible-Bold.ttf"
_FOREIGN_EM: Final = 1.0
"""For letters that the typeface lacks: a full square, as the widest of other scripts take [em]."""
_SEGMENTS: Final = 4
"""The format of the character table that covers the first plane of Unicode in segments."""


def text_width_em(text: str) -> float:
    """Return the width of a line of text in the bold cut, the wider one.

    Parameters
    ----------
    text
        One line.

    Returns
    -------
    float
        Width, kerning not counted [em].

    Notes
    -----
    Tables ``head``, ``hhea``, ``hmtx`` and ``cmap`` of ISO/IEC 14496-22, the Open Font Format.
    """
    widths = _widths_em()
    return sum(widths.get(ord(letter), _FOREIGN_EM) for letter in text)


@cache
def _widths_em() -> dict[int, float]:
    """Return the advance width of each character [em]."""
    data = (font_folder() / _BOLD).read_bytes()
    count = struct.unpack_from(">H", data, 4)[0]
    places = {}
    for number in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * number)
        places[tag] = offset
    per_em = struct.unpack_from(">H", data, places[b"head"] + 18)[0]
    long_count = struct.unpack_from(">H", data, places[b"hhea"] + 34)[0]
    advances = [
        struct.unpack_from(">H", data, places[b"hmtx"] + 4 * glyph)[0]
        for glyph in range(long_count)
    ]
    return {
        code: advances[min(glyph, long_count - 1)] / per_em
        for code, glyph in _glyphs(data, places[b"cmap"]).items()
    }


def _glyphs(data: bytes, start: int) -> dict[int, int]:
    """Return the glyph of each character of the first plane."""
    for number in range(struct.unpack_from(">H", data, start + 2)[0]):
        table = start + struct.unpack_from(">L", data, start + 8 + 8 * number)[0]
        if struct.unpack_from(">H", data, table)[0] == _SEGMENTS:
            return _segments(data, table)
    raise ValueError(f"{_BOLD} has no character table in segments")


def _segments(data: bytes, table: int) -> dict[int, int]:
    twice = struct.unpack_from(">H", data, table + 6)[0]
    found: dict[int, int] = {}
    for at in range(0, twice, 2):
        last = struct.unpack_from(">H", data, table + 14 + at)[0]
        first = struct.unpack_from(">H", data, table + 16 + twice + at)[0]
        delta = struct.unpack_from(">h", data, table + 16 + 2 * twice + at)[0]
        where = table + 16 + 3 * twice + at
        shift = struct.unpack_from(">H", data, where)[0]
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code
            if shift:
                glyph = struct.unpack_from(">H", data, where + shift + 2 * (code - first))[0]
            if glyph or not shift:
                found[code] = (glyph + delta) & 0xFFFF
    return {code: glyph for code, glyph in found.items() if glyph}
