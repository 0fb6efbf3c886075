"""Settings with versions; the password and the browsers that have given it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from slatewright.errors import InputError
from slatewright.store.faults import StaleRecord
from slatewright.store.logins import (
    get_password_hash,
    hash_password,
    is_logged_in,
    log_in,
    log_out,
    password_is,
    set_password_hash,
)
from slatewright.store.settings import HOUSE_RULES, get_setting, save_setting

from .conftest import NOON

LATER = NOON + timedelta(hours=1)
RULES = 'schema = "slatewright/house-rules/1"\nfloor_bar = 0.17\n'


def test_house_rules_are_kept_to_the_letter(store):
    with store.write() as session:
        assert get_setting(session, HOUSE_RULES) is None
        saved = save_setting(session, HOUSE_RULES, 0, RULES, now=NOON)
    with store.read() as session:
        assert get_setting(session, HOUSE_RULES) == saved
    assert (saved.value, saved.version, saved.changed_at) == (RULES, 1, NOON)


def test_the_later_save_of_two_windows_is_told(store):
    with store.write() as session:
        save_setting(session, "units", 0, "metric", now=NOON)
        with pytest.raises(StaleRecord) as told:  # both began from nothing
            save_setting(session, "units", 0, "imperial", now=LATER)
        assert (told.value.version, told.value.text) == (1, "metric")
        assert save_setting(session, "units", 1, "imperial", now=LATER).version == 2
        assert save_setting(session, "units", 2, "imperial", now=NOON).changed_at == LATER
        with pytest.raises(StaleRecord, match="version 0") as told:
            save_setting(session, "other", 3, "x", now=LATER)
        assert told.value.theirs is None


@pytest.mark.parametrize("name", ["", "A", "1a", "a b", "a" * 65, "a\n", "é"])
def test_names_of_settings_are_plain(store, name):
    with pytest.raises(InputError, match="no name"), store.write() as session:
        save_setting(session, name, 0, "x", now=NOON)


def test_the_password_is_kept_as_an_argon2_hash(store):
    kept = hash_password("ten slow fish")
    assert re.match(r"\$argon2id\$", kept)
    assert "fish" not in kept
    assert hash_password("ten slow fish") != kept, "no salt"
    with store.write() as session:
        assert get_password_hash(session) is None
        set_password_hash(session, kept, now=NOON)
        set_password_hash(session, kept, now=LATER)
    with store.read() as session:
        assert get_password_hash(session) == kept
    assert password_is("ten slow fish", kept)
    for wrong in ("ten slow fisH", "", "x" * 1001, "\ud83d"):
        assert not password_is(wrong, kept)
    assert not password_is("ten slow fish", "no hash")


@pytest.mark.parametrize("password", ["", "nine lett", "x" * 1001, "half a letter \ud83d"])
def test_bad_passwords_are_refused(password):
    with pytest.raises(InputError, match="password"):
        hash_password(password)


def test_a_login_lasts_as_long_as_it_says(store):
    with store.write() as session:
        token = log_in(session, now=NOON, lasts=timedelta(hours=1))
    with store.read() as session:
        assert is_logged_in(session, token, now=NOON)
        assert is_logged_in(session, token, now=LATER - timedelta(microseconds=1))
        assert not is_logged_in(session, token, now=LATER)
        for wrong in ("", token[:-1], token + "x", "\ud83d", "\x00", "x" * 10_000):
            assert not is_logged_in(session, wrong, now=NOON)


def test_logging_out(store):
    with store.write() as session:
        one, two, three = (log_in(session, now=NOON, lasts=timedelta(hours=9)) for _ in range(3))
        log_out(session, one)
        log_out(session, one)
    with store.read() as session:
        assert [is_logged_in(session, t, now=NOON) for t in (one, two, three)] == [
            False,
            True,
            True,
        ]
    with store.write() as session:  # a new password ends what the old one began
        set_password_hash(session, hash_password("ten slow fish"), now=NOON)
    with store.read() as session:
        assert not is_logged_in(session, two, now=NOON)


def test_the_token_itself_is_kept_nowhere(tmp_path):
    from slatewright.store import open_workspace  # noqa: PLC0415 - only here

    with open_workspace(tmp_path, now=NOON) as store:
        with store.write() as session:
            token = log_in(session, now=NOON, lasts=timedelta(hours=1))
            log_in(session, now=LATER, lasts=timedelta(hours=1))  # and the first has expired
        files = [path.read_bytes() for path in tmp_path.iterdir() if path.is_file()]
        assert not any(token.encode() in content for content in files)
        with store.read() as session:
            assert not is_logged_in(session, token, now=NOON), "expired logins are forgotten"
