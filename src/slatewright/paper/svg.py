"""From a chart to SVG without a network, with the typeface and a title for those who hear it."""

from __future__ import annotations

import base64
from functools import cache
from html import escape
from typing import Any

from slatewright.paper import theme


def svg_of(chart: Any, description: str, *, embed_font: bool) -> str:  # noqa: ANN401 - altair comes late
    """Draw a chart as SVG.

    Parameters
    ----------
    chart
        An altair chart.
    description
        What a screen reader says of it.
    embed_font
        True to carry the typeface along, for a picture that travels alone (150 kB more).

    Returns
    -------
    str
        An SVG document.
    """
    import vl_convert  # noqa: PLC0415 - carries a whole script engine, and only charts need it

    _register_font()
    svg: str = vl_convert.vegalite_to_svg(chart.to_dict(validate=False), allowed_base_urls=[])
    inside = f"<title>{escape(description)}</title>"
    if embed_font:
        inside += _font_faces()
    return svg.replace("><", f">{inside}<", 1)


@cache
def _font_faces() -> str:
    """Return the typeface as a style sheet within the picture."""
    faces = []
    for weight, name in (("normal", "Regular"), ("bold", "Bold")):
        file = theme.font_folder() / f"AtkinsonHyperlegible-{name}.ttf"
        data = base64.b64encode(file.read_bytes()).decode("ascii")
        faces.append(
            f'@font-face{{font-family:"{theme.FONT}";font-weight:{weight};'
            f'src:url("data:font/ttf;base64,{data}")}}'
        )
    return f"<style>{''.join(faces)}</style>"


@cache
def _register_font() -> None:
    import vl_convert  # noqa: PLC0415 - as above

    vl_convert.register_font_directory(str(theme.font_folder()))
