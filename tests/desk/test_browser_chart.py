"""A chart that a page draws itself: one specification for page and paper, under the same policy."""

from __future__ import annotations

import altair as alt
import pytest
from fastapi import APIRouter
from starlette.responses import HTMLResponse

from slatewright.desk.assets import asset_path

from .looking import picture

CHART = (
    alt.Chart(alt.Data(values=[{"minute": 0, "depth": 0}, {"minute": 5, "depth": 60}]))
    .mark_line()
    .encode(
        x="minute:Q",
        y=alt.Y("depth:Q", scale=alt.Scale(reverse=True)),
        tooltip=["depth:Q"],
    )
    .transform_calculate(twice="datum.depth * 2")
)


@pytest.fixture
def charted(serve):
    """A desk with one more page, which has a chart."""
    router = APIRouter()

    @router.get("/charted", response_class=HTMLResponse)
    def page():
        return (
            "<!doctype html><html lang=en><head><title>chart</title><link rel=icon href=data:,>"
            f'<script type="module" src="{asset_path("chart.js")}"></script></head>'
            '<body><figure data-chart="/charted/data"></figure></body></html>'
        )

    @router.get("/charted/data")
    def data():
        return CHART.to_dict()

    desk = serve()
    desk.app.include_router(router)
    with desk:
        yield desk


def test_a_chart_is_drawn_under_the_content_policy(charted, open_page, tmp_path):
    page = open_page()
    page.goto(f"{charted.address}/charted")
    page.locator("figure[data-drawn] svg").wait_for()
    assert page.locator("svg path[aria-roledescription='line mark']").count() == 1
    assert page.evaluate("document.querySelectorAll('style').length") == 0
    picture(page, tmp_path, "chart")
