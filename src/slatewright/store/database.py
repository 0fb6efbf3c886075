"""The open store: many may read, one writes at a time, and a save that returns is kept."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import TracebackType
from typing import Self

from sqlalchemy import Engine
from sqlalchemy.orm import Session, sessionmaker

from slatewright.store.engines import PATIENCE_S, WRITING, busy, in_plain_words


class Store:
    """An open store, to be shared by all threads of a process.

    Parameters
    ----------
    engine
        Its connections.
    where
        What to call it in messages: a folder, or an address without its password.
    patience_s
        How long a writer waits for its turn [s].
    """

    def __init__(self, engine: Engine, where: str, *, patience_s: float = PATIENCE_S) -> None:
        self.where = where
        self._engine = engine
        self._patience_s = patience_s
        self._turn = threading.Lock()
        self._writer: int | None = None
        reading = (
            engine.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
            if engine.dialect.name == "postgresql"
            else engine
        )
        self._reads = sessionmaker(reading, expire_on_commit=False)
        self._writes = sessionmaker(
            engine.execution_options(**{WRITING: True}), expire_on_commit=False
        )

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Return one moment's view of the store; the database refuses to write through it.

        Yields
        ------
        Session
            To be handed to the functions that look things up; ends with the block.

        Raises
        ------
        StoreError
            If file or server cannot be reached.
        """
        with in_plain_words(self.where, reading=True), self._reads() as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """Write: all of the block or nothing of it, and alone.

        When the block has been left without an exception, what it wrote is on the disk. Keep it
        short, and compute before it, not in it: all other writers wait.

        Yields
        ------
        Session
            To be handed to the functions that change things; ends with the block.

        Raises
        ------
        StoreBusy
            If another writer does not finish in time.
        StoreError
            If file or server cannot be written.
        """
        if self._writer == threading.get_ident():
            raise RuntimeError("a write inside a write would wait for itself")
        if not self._turn.acquire(timeout=self._patience_s):
            raise busy(self.where)
        self._writer = threading.get_ident()
        try:
            with in_plain_words(self.where), self._writes.begin() as session:
                yield session
        finally:
            self._writer = None
            self._turn.release()

    def close(self) -> None:
        """Close all connections; a store that is not closed loses nothing."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
