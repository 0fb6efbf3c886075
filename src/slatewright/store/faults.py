"""Every way in which the store says no.

::

    SlatewrightError
    ├── InputError
    │   └── NoSuchRecord      what was asked for is not there
    └── StoreError            no fault of what was asked
        ├── StoreUnavailable  cannot be reached, opened or written
        ├── StoreBusy         held by another process for too long
        ├── StoreDamaged      the file is damaged; names the last good backup
        ├── StoreNewer        made by a newer Slatewright than this one
        └── StaleRecord       another window has saved the record meanwhile; carries what it saved
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.errors import InputError, SlatewrightError

if TYPE_CHECKING:
    from pathlib import Path


class NoSuchRecord(InputError):  # noqa: N818 - the message's own words
    """A record that was asked for is not there.

    Parameters
    ----------
    kind
        The kind of record, such as "plan".
    key
        What it was asked for by.
    """

    def __init__(self, kind: str, key: object) -> None:
        self.kind = kind
        self.key = key
        super().__init__(f"there is no {kind} {key}", right=f"a {kind} that is in the list")


class StoreError(SlatewrightError):
    """The store cannot do what was asked, and the request is not at fault.

    Parameters
    ----------
    what
        What is wrong, as a sentence without a full stop.
    where
        Which workspace, file or server.
    right
        What to do about it.
    """

    def __init__(self, what: str, *, where: str = "", right: str = "") -> None:
        self.what = what
        self.where = where
        self.right = right
        super().__init__(self.message())

    def message(self) -> str:
        """Return the whole message on one or two lines."""
        head = f"{self.where}: {self.what}" if self.where else self.what
        return f"{head}\n  what to do: {self.right}" if self.right else head


class StoreUnavailable(StoreError):  # noqa: N818 - says what happened, as all its neighbours do
    """The store cannot be reached, opened or written."""


class StoreBusy(StoreError):  # noqa: N818 - same
    """Another process holds the store, and has not let go in the time allowed."""


class StoreNewer(StoreError):  # noqa: N818 - same
    """The store was made or changed by a newer Slatewright than this one."""


class StoreDamaged(StoreError):  # noqa: N818 - same
    """The database is damaged; nothing was changed.

    Parameters
    ----------
    what
        What is wrong, as a sentence without a full stop.
    where
        Which file.
    right
        What to do about it.
    last_good
        The newest backup that is whole; None if there is none.
    """

    def __init__(
        self, what: str, *, where: str = "", right: str = "", last_good: Path | None = None
    ) -> None:
        self.last_good = last_good
        super().__init__(what, where=where, right=right)


class StaleRecord(StoreError):  # noqa: N818 - same
    """Another window has saved the record since this one read it; nothing was overwritten.

    Parameters
    ----------
    kind
        The kind of record, such as "plan".
    given
        The version that this window had read.
    version
        The version that is stored now.
    text
        The text that is stored now: of a plan its TOML, of a setting its value; else empty.
    theirs
        The whole record as it is stored now.
    """

    def __init__(self, kind: str, *, given: int, version: int, text: str, theirs: object) -> None:
        self.kind = kind
        self.given = given
        self.version = version
        self.text = text
        self.theirs = theirs
        super().__init__(
            f"another window has saved this {kind} meanwhile (version {version}, yours began from "
            f"version {given}); nothing was overwritten",
            right="look at both, and save again what is to stand",
        )
