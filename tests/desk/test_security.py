"""What stands before every page."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import settings as run_with
from hypothesis import strategies as st

from slatewright.desk.app import create_app
from slatewright.desk.limiter import FREE_TRIES, LONGEST_WAIT_S
from slatewright.desk.security import CONTENT_POLICY, local_path
from slatewright.desk.settings import DeskSettings
from slatewright.store.logins import hash_password, set_password_hash
from slatewright.store.plans import list_plans
from slatewright.store.schema import LoginRow

from .calling import HTMX, Caller

OWN = f"http{'://'}127.0.0.1:8417"
PASSWORD = "six leads on a line"  # noqa: S105 - of a desk that lives for a moment
OTHER = "192.168.7.20"


@pytest.mark.parametrize(
    "host",
    ["evil.example", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:8417.evil.example", "", "[::1]:8417",
     "localhost:8418", "127.0.0.1:8417@evil.example"],
)  # fmt: skip
def test_a_request_by_another_name_is_not_answered(desk, host):
    answer = desk.get("/", headers={"Host": host})
    assert answer.status_code == 421
    assert "Slatewright" not in answer.text
    assert desk.get("/api/plans", headers={"Host": host}).json()["kind"] == "refused"


@pytest.mark.parametrize("host", ["localhost:8417", "LOCALHOST:8417", "127.0.0.1:8417"])
def test_the_names_of_this_machine_are_answered(desk, host):
    assert desk.get("/", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": f"http{'://'}evil.example"},
        {"Origin": "null"},
        {"Origin": f"http{'://'}127.0.0.1:9999"},
        {"Origin": f"https{'://'}127.0.0.1:8417"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": OWN, "Sec-Fetch-Site": "cross-site"},
    ],
    ids=str,
)
@pytest.mark.parametrize("path", ["/plans/blank", "/api/plans", "/look"])
def test_nothing_is_changed_from_a_page_of_a_stranger(desk, store, headers, path):
    data = {"token": desk.token, "units": "metric", "look": "dark"}
    body = {"json": {"text": "x"}} if path.startswith("/api") else {"data": data}
    assert desk.post(path, headers=headers, **body).status_code == 403
    with store.read() as session:
        assert not list_plans(session)


def test_a_page_of_ours_may_change_things(desk):
    headers = {"Origin": OWN, "Sec-Fetch-Site": "same-origin"}
    assert desk.submit("/plans/blank", {"units": "metric"}, headers=headers).status_code == 303


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ("cross-site navigate document", 200),
        ("cross-site navigate iframe", 403),
        ("cross-site no-cors image", 403),
        ("same-site cors empty", 403),
        ("same-origin cors empty", 200),
        ("", 200),
    ],
)
def test_a_stranger_may_link_to_a_page_and_take_nothing_in(desk, said, status):
    names = ("Sec-Fetch-Site", "Sec-Fetch-Mode", "Sec-Fetch-Dest")
    headers = dict(zip(names, said.split(), strict=False))
    assert desk.get("/formulas", headers=headers).status_code == status


@pytest.mark.parametrize("token", ["", "0" * 64, "nonsense", None])
def test_a_form_without_our_token_changes_nothing(desk, store, token):
    desk.get("/")
    data = {"units": "metric"} | ({} if token is None else {"token": token})
    answer = desk.post("/plans/blank", data=data)
    assert answer.status_code == 403
    assert "load the page anew" in answer.text
    with store.read() as session:
        assert not list_plans(session)


def test_a_token_is_good_for_one_browser_only(app):
    with Caller(app) as one, Caller(app) as other:
        other.get("/")
        stolen = {"token": one.token, "units": "metric"}
        assert other.post("/plans/blank", data=stolen).status_code == 403


def test_htmx_may_carry_the_token_in_a_header(desk):
    headers = {**HTMX, "X-Desk-Token": desk.token}
    answer = desk.post("/plans/blank", data={"units": "metric"}, headers=headers)
    assert (answer.status_code, answer.headers["hx-redirect"]) == (200, "/bench/1")


def test_headers_stand_on_every_answer(desk, app):
    @app.get("/crash")
    def crash():
        raise RuntimeError

    careless = Caller(app, raise_server_exceptions=False)
    for path in ("/", "/nowhere", "/static/desk.css", "/api/plans", "/api/openapi.json", "/crash"):
        answer = careless.get(path)
        assert answer.headers["content-security-policy"] == CONTENT_POLICY
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert answer.headers["x-frame-options"] == "DENY"
        assert ("no-store" in answer.headers["cache-control"]) == (not path.startswith("/static"))
    assert careless.get("/crash").status_code == 500
    assert "RuntimeError" not in careless.get("/crash").text


def test_the_policy_allows_nothing_inline_and_nothing_from_elsewhere():
    assert "unsafe" not in CONTENT_POLICY
    assert not re.search(r"https?:|\*", CONTENT_POLICY)
    assert "default-src 'self'" in CONTENT_POLICY


def test_too_much_is_refused_whatever_its_length_says(desk, settings):
    most = settings.largest_body_bytes
    said = desk.post("/api/check", content=b"x" * (most + 1))
    assert said.status_code == 413
    assert said.json()["kind"] == "refused"

    def unsaid():
        for _ in range(30):
            yield b"x" * 100_000

    assert desk.post("/api/check", content=unsaid()).status_code == 413
    assert desk.post("/api/check", headers={"Content-Length": "-1"}).status_code == 400


def test_cookies_are_out_of_reach_of_scripts_and_of_others(desk):
    answer = desk.get("/")
    for cookie in answer.headers.get_list("set-cookie"):
        assert "HttpOnly" in cookie
        assert "SameSite=strict" in cookie
        assert cookie.startswith("slatewright-8417-")


@given(path=st.text(max_size=60) | st.sampled_from(
    ["//evil.example", "/\\evil.example", "\\\\evil", "https:evil", "/a\nb", "javascript:x", "///e"]
))  # fmt: skip
@run_with(max_examples=60, deadline=None)
def test_going_on_never_leads_away(path):
    onward = local_path(path)
    assert onward.startswith("/")
    assert not onward.startswith(("//", "/\\"))


def test_going_on_leads_where_it_should():
    assert local_path("/bench/3?a=b#c") == "/bench/3?a=b#c"


@pytest.fixture(scope="module")
def hashed():
    return hash_password(PASSWORD)


@pytest.fixture
def closed(store, clock, hashed):
    """A desk that serves others, and a browser that has not logged in."""
    with store.write() as session:
        set_password_hash(session, hashed, now=clock.now())
    settings = DeskSettings(
        other_names=(OTHER,), serving_others=True, now=clock.now, seconds=clock.seconds
    )
    with Caller(create_app(store, settings), host=f"{OTHER}:8417") as caller:
        caller.locked = True
        yield caller


def log_in(caller, password=PASSWORD, onward="/"):
    return caller.submit("/login", {"password": password, "next": onward})


@pytest.mark.parametrize("path", ["/", "/formulas", "/plans/1/file", "/nowhere", "/bench/1"])
def test_others_are_sent_to_the_login(closed, path):
    answer = closed.get(path)
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/login")
    assert closed.get(path, headers=HTMX).status_code == 401
    assert closed.get("/api/plans").status_code == 401
    assert closed.get("/api/openapi.json").status_code == 401
    assert closed.get("/static/desk.css").status_code == 200


def test_the_login_page_tells_nothing(closed, store):
    page = closed.get("/login")
    assert page.status_code == 200
    assert "The wall" not in page.text


def test_the_password_lets_in_and_the_way_out_is_final(closed, store):
    answer = log_in(closed, onward="/formulas?x=1")
    assert (answer.status_code, answer.headers["location"]) == (303, "/formulas?x=1")
    assert closed.get("/").status_code == 200
    assert closed.get("/api/plans").status_code == 200
    cookie = next(c for c in closed.cookies.jar if c.name.endswith("-login"))
    with store.read() as session:
        (row,) = session.query(LoginRow).all()
        assert cookie.value not in row.token_sha256
    closed.locked = False
    assert closed.submit("/logout").status_code == 303
    closed.cookies.set(cookie.name, cookie.value, domain=OTHER)
    assert closed.get("/").status_code == 303


def test_a_login_ends_by_itself(closed, clock):
    log_in(closed)
    clock.moment += timedelta(hours=13)
    closed.cookies.jar.clear_expired_cookies()
    assert closed.get("/").status_code == 303


def test_a_wrong_password_is_told_and_no_more(closed):
    answer = log_in(closed, "not the password")
    assert answer.status_code == 422
    assert "that is not the password" in answer.text
    assert closed.get("/").status_code == 303


def test_guessing_is_slowed_down_even_for_the_right_guess(closed, clock):
    for _ in range(FREE_TRIES):
        assert log_in(closed, "guess").status_code == 422
    waiting = log_in(closed)
    assert waiting.status_code == 429
    wait_s = int(waiting.headers["retry-after"])
    clock.ticks += wait_s
    assert log_in(closed, "guess again").status_code == 422
    longer = int(log_in(closed).headers["retry-after"])
    assert longer > wait_s
    clock.ticks += LONGEST_WAIT_S
    assert log_in(closed).status_code == 303


def test_others_may_not_come_by_a_name_that_was_not_said(closed):
    assert closed.get("/login", headers={"Host": "192.168.7.21:8417"}).status_code == 421


def test_without_others_there_is_no_login(desk):
    assert desk.get("/login").headers["location"] == "/"
