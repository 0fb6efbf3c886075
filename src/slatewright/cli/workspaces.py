"""A workspace, opened for one command."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from slatewright.cli import environment
from slatewright.cli.reporting import refusals, say

if TYPE_CHECKING:
    from slatewright.store.database import Store


@contextmanager
def opened(asked: str | None) -> Iterator[Store]:
    """Open a workspace, or a server's store, and turn refusals into messages and exit codes.

    Parameters
    ----------
    asked
        The folder or address; None for the person's own workspace.

    Yields
    ------
    Store
        Closed at the end.
    """
    from slatewright.store import open_store  # noqa: PLC0415 - start-up is budgeted
    from slatewright.store.clock import now_utc  # noqa: PLC0415 - same

    address = asked if asked is not None else str(environment.own_workspace())
    with refusals("workspace"), open_store(address, now=now_utc()) as store:
        failure = getattr(store, "backup_failure", "")
        if failure:
            say(f"No backup could be made: {failure}")
        yield store
