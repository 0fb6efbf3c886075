"""The frame: every page is what it says it is, and nothing on it comes from elsewhere."""

from __future__ import annotations

import hashlib
import re
from dataclasses import fields
from importlib.resources import files
from pathlib import Path

import jinja2
import pytest
from jinja2 import nodes

from slatewright.desk.app import create_app
from slatewright.desk.assets import asset_path, assets
from slatewright.desk.frame import Frame, Page, all_pages
from slatewright.desk.refusals import PAGE as REFUSAL
from slatewright.desk.rendering import templates
from slatewright.desk.settings import DeskSettings
from slatewright.paper import theme

ROOT = Path(__file__).parents[2]
DESK = ROOT / "src" / "slatewright" / "desk"
TEMPLATES = sorted((DESK / "templates").glob("*.html"))
PAGES = (*all_pages(), REFUSAL)


def parsed(name):
    environment = templates()
    source, *_ = environment.loader.get_source(environment, name)
    return environment.parse(source)


def used(name, variable, seen=()):
    """Return what a template, and those it extends, includes or imports, takes from a variable."""
    tree = parsed(name)
    taken = {
        node.attr
        for node in tree.find_all(nodes.Getattr)
        if isinstance(node.node, nodes.Name) and node.node.name == variable
    }
    for other in tree.find_all((nodes.Extends, nodes.Include)):
        inner = other.template.value
        if inner not in seen:
            taken |= used(inner, variable, (*seen, name))
    return taken


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_page_takes_only_what_its_context_documents(page):
    known = {field.name for field in fields(page.context)}
    known |= {name for name, value in vars(page.context).items() if isinstance(value, property)}
    assert used(page.template, "page") <= known
    assert used(page.template, "frame") <= {field.name for field in fields(Frame)}
    documented = page.context.__doc__ or ""
    assert all(re.search(rf"\b{field.name}\b", documented) for field in fields(page.context))


def test_names_and_paths_of_pages_differ():
    assert len({page.name for page in PAGES}) == len(PAGES)
    paths = [page.path for page in PAGES if page.path]
    assert len(set(paths)) == len(paths)


def test_the_navigation_leads_to_pages_that_are_there(desk):
    for page in all_pages():
        if page.label:
            answer = desk.get(page.path)
            assert answer.status_code == 200
            assert answer.text.count('aria-current="page"') == 1


def test_a_page_needs_a_frozen_context():
    with pytest.raises(TypeError, match="frozen"):
        Page("loose", "Loose", "loose.html", dict)


def test_a_page_refuses_a_context_of_another_kind(app, store):
    desk = app.state.desk
    with pytest.raises(TypeError, match="takes a"):
        desk.render(None, REFUSAL, object())


def test_a_name_that_is_not_there_is_an_error():
    with pytest.raises(jinja2.UndefinedError):
        templates().from_string("{{ page.nothing }}").render(page=object())


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_no_script_and_no_style_stands_in_a_template(path):
    text = path.read_text("utf-8")
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:|hx-on|\bjs:", text)
    assert "|safe" not in text.replace(" ", "")
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", text)


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_what_htmx_fetches_is_reached_without_script_too(path):
    for tag in re.findall(r"<[a-z]+\b[^>]*\bhx-(?:get|post)=[^>]*>", path.read_text("utf-8")):
        asked = re.search(r'hx-(?:get|post)="([^"]*)"', tag)[1]
        plain = re.search(r'\b(?:href|action|formaction)="([^"]*)"', tag)
        assert plain, tag
        assert plain[1] == asked, tag


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_every_form_that_changes_something_carries_the_token(path):
    for form in re.findall(r"<form\b.*?</form>", path.read_text("utf-8"), re.DOTALL):
        if 'method="post"' in form:
            assert 'name="token" value="{{ frame.token }}"' in form, form[:120]


def test_nothing_is_computed_in_a_template():
    for path in TEMPLATES:
        tree = parsed(path.name)
        sums = [*tree.find_all((nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow))]
        assert not sums, path.name


def test_the_colours_of_the_day_are_those_of_paper():
    css = (DESK / "static" / "theme.css").read_text("utf-8")
    day = dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", css.split("}\n\n:root[data-look")[0]))
    assert day["paper"] == theme.PAPER
    assert day["ink"] == theme.INK
    assert day["ink-soft"] == theme.SOFT_INK
    assert day["contour"] == theme.CONTOUR
    assert day["land"] == theme.LAND
    assert day["shore"] == theme.SHORE
    assert day["caution"] == theme.CAUTION
    assert [day[f"tint-{n}"] for n in range(1, 8)] == list(theme.DEPTH_TINTS)
    assert [day[f"gas-{n}"] for n in range(1, 7)] == list(theme._INKS)


def test_the_night_is_the_same_whoever_asks_for_it():
    css = (DESK / "static" / "theme.css").read_text("utf-8")
    asked, left = (
        re.findall(r"--[a-z0-9-]+: [^;]+;", part)
        for part in re.findall(r'data-look="(?:dark|system)"\] \{(.*?)\}', css, re.DOTALL)
    )
    assert asked == left
    assert len(asked) > 20


@pytest.mark.parametrize("path", sorted((DESK / "static").glob("*.css")), ids=lambda p: p.name)
def test_no_colour_stands_outside_the_theme(path):
    if path.name == "theme.css":
        return
    css = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.DOTALL)
    allowed = {"#fff", "#000"} if path.name == "home.css" else set()  # the code for a phone
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", css)) <= allowed


@pytest.mark.parametrize("name", ["desk.css", "dive.css", "home.css", "working.css"])
def test_magenta_is_for_caution_alone(name):
    css = re.sub(r"/\*.*?\*/", "", (DESK / "static" / name).read_text("utf-8"), flags=re.DOTALL)
    for rule in re.findall(r"([^{}]+)\{[^{}]*var\(--caution[^{}]*\}", css):
        assert re.search(r"caution|fault|soon|outdated|warn|\.off|\.half", rule), rule


@pytest.mark.parametrize("folder", [DESK / "static" / "vendor", ROOT / "tests/desk/vendor"])
def test_what_others_wrote_is_as_they_released_it(folder):
    sums = dict(
        reversed(line.split("  ")) for line in (folder / "SHA256SUMS").read_text().splitlines()
    )
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.glob("*.js")
    }
    assert found == sums


def test_files_are_served_with_their_mark(desk):
    for name, asset in assets().items():
        answer = desk.get(asset_path(name))
        assert answer.status_code == 200
        assert answer.content == asset.content
        assert "immutable" in answer.headers["cache-control"]
        again = desk.get(asset_path(name), headers={"If-None-Match": answer.headers["etag"]})
        assert again.status_code == 304
    assert desk.get("/static/theme.css").headers["cache-control"] == "no-cache"


@pytest.mark.parametrize(
    "name", ["../app.py", "..%2fapp.py", "%2e%2e/app.py", "vendor", "", "fonts/", "README.md"]
)  # fmt: skip
def test_no_path_leads_out_of_the_list_of_files(desk, name):
    assert desk.get(f"/static/{name}").status_code in {404, 405}


def test_the_typeface_comes_from_here():
    css = assets()["theme.css"].content.decode()
    urls = re.findall(r'url\("([^"]+)"\)', css)
    assert len(urls) == 4
    assert all(url.startswith("/static/fonts/AtkinsonHyperlegible-") for url in urls)


def test_the_examples_are_those_of_the_repository():
    shipped = files("slatewright.data").joinpath("examples")
    for folder in ("build-up-week", "imperial"):
        mine = {entry.name: entry.read_bytes() for entry in shipped.joinpath(folder).iterdir()}
        theirs = {path.name: path.read_bytes() for path in (ROOT / "examples" / folder).iterdir()}
        assert mine == theirs


def test_two_desks_share_nothing(store, settings):
    one, other = create_app(store, settings), create_app(store, settings)
    assert one.state.desk.logins is not other.state.desk.logins


def test_the_programming_interface_is_built_when_it_is_first_asked_for_and_once():
    app = create_app(None, DeskSettings())  # neither needs a store
    assert not app.has_interface
    assert "/api/plans" in app.openapi()["paths"]
    assert app.has_interface
    routes = len(app.routes)
    app.add_interface()
    assert len(app.routes) == routes
