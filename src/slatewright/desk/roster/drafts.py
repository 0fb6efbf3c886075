"""Files between upload and confirmation: held in memory, few, and not for ever."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError
from slatewright.logs.detection import Guess
from slatewright.logs.mapping import Mapping
from slatewright.logs.reading import Reading
from slatewright.store.faults import NoSuchRecord

if TYPE_CHECKING:
    from slatewright.desk.visit import Visit

MOST_DRAFTS: Final = 24
MOST_BYTES: Final = 96 * 1024 * 1024
"""Of all files together; the oldest goes first."""
_KEY_BYTES: Final = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A logbook that was uploaded and is not kept yet.

    Parameters
    ----------
    key
        By what it is found again.
    person_id
        Whose it is.
    name
        The name of the file.
    sha256
        Its hash.
    data
        Its bytes.
    samples
        For each column, some of its cells.
    proposed
        For each column what it was taken for; empty if nothing was proposed.
    known
        Whether its columns are read as was confirmed for an earlier file.
    reading
        What was read.
    """

    key: str
    person_id: int
    name: str
    sha256: str
    data: bytes
    samples: tuple[tuple[str, ...], ...]
    proposed: tuple[Guess, ...]
    known: bool
    reading: Reading

    @property
    def mapping(self) -> Mapping:
        """How its columns are read.

        Raises
        ------
        InputError
            If it has none, as UDDF.
        """
        if self.reading.mapping is None:
            raise InputError("this file has no columns", where=self.name, right="a file in CSV")
        return self.reading.mapping


class Drafts:
    """The drafts of a desk."""

    def __init__(self) -> None:
        self._held: OrderedDict[str, Draft] = OrderedDict()
        self._lock = threading.Lock()

    def hold(self, draft: Draft) -> Draft:
        """Hold a draft under a key of its own, letting go of the oldest beyond the limits.

        Parameters
        ----------
        draft
            The draft; its key is replaced.
        """
        held = replace(draft, key=secrets.token_urlsafe(_KEY_BYTES))
        with self._lock:
            self._held[held.key] = held
            while len(self._held) > 1 and (
                len(self._held) > MOST_DRAFTS
                or sum(len(one.data) for one in self._held.values()) > MOST_BYTES
            ):
                self._held.popitem(last=False)
        return held

    def change(self, draft: Draft) -> None:
        """Hold a changed draft in the place of what it was.

        Parameters
        ----------
        draft
            The draft.
        """
        with self._lock:
            self._held[draft.key] = draft
            self._held.move_to_end(draft.key)

    def find(self, key: str, person_id: int) -> Draft:
        """Return a draft.

        Parameters
        ----------
        key
            Its key.
        person_id
            Whose it is.

        Raises
        ------
        NoSuchRecord
            If it is not there any more.
        """
        with self._lock:
            draft = self._held.get(key)
        if draft is None or draft.person_id != person_id:
            raise NoSuchRecord("uploaded file", f"'{key}'")
        return draft

    def drop(self, key: str) -> None:
        """Let go of a draft.

        Parameters
        ----------
        key
            Its key.
        """
        with self._lock:
            self._held.pop(key, None)


_MAKING: Final = threading.Lock()


def drafts_of(visit: Visit) -> Drafts:
    """Return the drafts of the desk at hand.

    Parameters
    ----------
    visit
        The request.
    """
    state = visit.request.app.state
    with _MAKING:
        if not hasattr(state, "logbook_drafts"):
            state.logbook_drafts = Drafts()
    drafts: Drafts = state.logbook_drafts
    return drafts
