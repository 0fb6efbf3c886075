"""What a browser test does on every page: a picture, and a look for what keeps people out."""

from __future__ import annotations

from pathlib import Path

AXE = Path(__file__).parent / "vendor" / "axe-core-4.14.1.min.js"
PHONE = {"width": 390, "height": 844, "has_touch": True, "is_mobile": True}
SERIOUS = {"serious", "critical"}


def findings(page):
    """Return what axe-core finds serious on a page: rule and element."""
    # the page's own policy lets no script in from outside, so it is put in as the browser's own
    page.evaluate(AXE.read_text("utf-8"))
    result = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{found['id']}: {node['html'][:160]} ({node['failureSummary']})"
        for found in result["violations"]
        if found["impact"] in SERIOUS
        for node in found["nodes"]
    ]


def fits(page):
    """Return whether a page is no wider than its window."""
    return page.evaluate(
        "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
    )


def settle(page):
    """Wait until typeface and movements are done."""
    page.evaluate("document.fonts.ready")
    page.evaluate("Promise.all(document.getAnimations().map((movement) => movement.finished))")


def picture(page, folder, name):
    """Take a picture of a whole page."""
    settle(page)
    page.screenshot(path=folder / f"{name}.png", full_page=True)
