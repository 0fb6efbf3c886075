"""The widths of letters, against the typesetter's own measure."""

from __future__ import annotations

import json

import pytest
import typst

from slatewright.paper.letter_widths import text_width_em
from slatewright.paper.theme import FONT, font_folder


@pytest.mark.parametrize("text", ["96 m", "counterdiffusion", "10/70", "6 m, 19 min", "OXYGEN"])
def test_widths_are_those_that_typst_sets(text: str) -> None:
    page = (
        f'#context [#metadata(measure(text(font: "{FONT}", size: 1000pt, weight: "bold", '
        f"kerning: false, {json.dumps(text)})).width.pt()) <width>]"
    )
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(font_folder())])
    told = typst.query(page.encode(), "<width>", field="value", one=True, font_paths=fonts)
    assert text_width_em(text) * 1000.0 == pytest.approx(float(json.loads(told)), rel=0.01)


def test_a_letter_that_the_typeface_lacks_takes_a_full_square() -> None:
    assert text_width_em("漢") == 1.0
    assert text_width_em("") == 0.0
