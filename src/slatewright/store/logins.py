"""The password for serving others, and the browsers that have given it.

Hashing takes some 50 ms on purpose: do it before a write begins, since all other writers wait.
"""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import delete
from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store.schema import LoginRow, PasswordRow

SHORTEST_PASSWORD: Final = 10
LONGEST_PASSWORD: Final = 1000
_TOKEN_BYTES: Final = 32
_HASHER: Final = PasswordHasher()  # argon2id with the library's parameters of the day


def hash_password(password: str) -> str:
    """Return the argon2 hash of a password.

    Parameters
    ----------
    password
        The password.

    Raises
    ------
    InputError
        If it is too short, too long, or no text.
    """
    if not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        raise InputError(
            f"has {len(password)} letters",
            where="password",
            right=f"{SHORTEST_PASSWORD} to {LONGEST_PASSWORD}; a few words make a good one",
        )
    try:
        return _HASHER.hash(password)
    except UnicodeEncodeError:
        raise InputError("holds half a character", where="password", right="text") from None


def password_is(password: str, argon2: str) -> bool:
    """Return whether a password is the one that was hashed.

    Parameters
    ----------
    password
        What somebody typed.
    argon2
        The hash that is kept.
    """
    try:
        return len(password) <= LONGEST_PASSWORD and _HASHER.verify(argon2, password)
    except (VerificationError, InvalidHashError, UnicodeEncodeError):
        return False


def get_password_hash(session: Session) -> str | None:
    """Return the hash of the password, or None if none was set: then serve nobody else.

    Parameters
    ----------
    session
        A session.
    """
    row = session.get(PasswordRow, 1)
    return None if row is None else row.argon2


def set_password_hash(session: Session, argon2: str, *, now: datetime) -> None:
    """Set the password, and log everybody out.

    Parameters
    ----------
    session
        A session that writes.
    argon2
        Its hash, from `hash_password`.
    now
        The moment.
    """
    session.merge(PasswordRow(id=1, argon2=argon2, changed_at=now))
    log_out_all(session)


def log_in(session: Session, *, now: datetime, lasts: timedelta) -> str:
    """Keep a login, and forget those that have expired.

    Parameters
    ----------
    session
        A session that writes; the password has been checked.
    now
        The moment.
    lasts
        How long the login lasts.

    Returns
    -------
    str
        The token that the browser shows from now on. It is nowhere else: only its hash is kept.
    """
    session.execute(delete(LoginRow).where(LoginRow.expires_at <= now))
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    session.add(LoginRow(token_sha256=_digest(token), created_at=now, expires_at=now + lasts))
    session.flush()
    return token


def is_logged_in(session: Session, token: str, *, now: datetime) -> bool:
    """Return whether a token is of a login that has not expired.

    Parameters
    ----------
    session
        A session.
    token
        What the browser shows.
    now
        The moment.
    """
    row = session.get(LoginRow, _digest(token))
    return row is not None and now < row.expires_at


def log_out(session: Session, token: str) -> None:
    """Forget a login; does nothing if there is none.

    Parameters
    ----------
    session
        A session that writes.
    token
        What the browser shows.
    """
    session.execute(delete(LoginRow).where(LoginRow.token_sha256 == _digest(token)))


def log_out_all(session: Session) -> None:
    """Forget all logins.

    Parameters
    ----------
    session
        A session that writes.
    """
    session.execute(delete(LoginRow))


def _digest(token: str) -> str:
    # a random token of 256 bits needs no slow hash; what a browser sends may be anything
    return hashlib.sha256(token.encode(errors="replace")).hexdigest()
