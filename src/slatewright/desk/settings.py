"""How a desk is run: where it listens, who may come, which clock it goes by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from slatewright.desk import clock

LOOPBACK: Final = "127.0.0.1"
"""Where a desk listens unless others are to be served."""
LOCAL_NAMES: Final = (LOOPBACK, "localhost")
PORT: Final = 8417
"""The usual port: a free number that we chose."""


@dataclass(frozen=True, slots=True)
class DeskSettings:
    """How a desk is run.

    Parameters
    ----------
    port
        The port that it listens on.
    other_names
        Names and addresses, besides those of this machine for itself, by which it is called.
    serving_others
        Whether it listens to other machines; then everybody needs the password.
    login_lasts
        How long a login lasts.
    largest_body_bytes
        How much a request may carry.
    largest_file_bytes
        How much an upload of a logbook may carry.
    now
        Tells the moment.
    today
        Tells the day here.
    seconds
        Tells seconds that only grow.
    """

    port: int = PORT
    other_names: tuple[str, ...] = ()
    serving_others: bool = False
    login_lasts: timedelta = timedelta(hours=12)
    largest_body_bytes: int = 2_500_000
    largest_file_bytes: int = 48_000_000
    now: Callable[[], datetime] = clock.now_utc
    today: Callable[[], date] = clock.today_here
    seconds: Callable[[], float] = clock.seconds

    @property
    def hosts(self) -> frozenset[str]:
        """What a request's Host may say: a page of another name is not ours."""
        names = (*LOCAL_NAMES, *self.other_names)
        return frozenset(f"{name.lower()}:{self.port}" for name in names)

    @property
    def address(self) -> str:
        """The address to open on this machine, or on others if they are served."""
        name = self.other_names[0] if self.serving_others and self.other_names else LOOPBACK
        return f"{SCHEME}://{name}:{self.port}"


SCHEME: Final = "http"
