"""How is the database read and written? A reader sees one moment; writers take turns."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

from sqlalchemy import Connection, Engine, select
from sqlalchemy.engine import URL

from slackwater.errors import Busy
from slackwater.store.address import PATIENCE_S, WAITING, WRITING, is_file
from slackwater.store.plain_errors import told_plainly
from slackwater.store.schema import REGISTER


@contextmanager
def transaction(
    engine: Engine, url: URL, *, writing: bool, wait: bool = True
) -> Iterator[Connection]:
    """Do something in one transaction: all of it or, where it raises, nothing.

    A reader sees one moment, whatever is written meanwhile. What a writer wrote is on disk when
    the block is left; without ``wait`` it gives up at once where another program writes.

    Raises
    ------
    Busy, UsageError, StoreFailed
        Where the database is locked, not the right one, or fails.
    """
    with told_plainly(url), engine.connect() as plain:
        connection = plain.execution_options(**{WRITING: writing, WAITING: wait})
        if not writing and not is_file(url):
            connection = plain.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            yield connection


class Connected:
    """A database of ours that can be read and written, from many threads."""

    def __init__(self, engine: Engine, url: URL) -> None:
        self.url = url
        self._engine = engine
        self._turn = Lock()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Read, see `transaction`."""
        with transaction(self._engine, self.url, writing=False) as connection:
            yield connection

    @contextmanager
    def writing(self, *, wait: bool = True) -> Iterator[Connection]:
        """Write, see `transaction`; others wait, here and in other programs.

        Parameters
        ----------
        wait : False for what may as well be left undone: `Busy` at once where others write.
        """
        # Within this program the wait is here: SQLite's own favours whoever asks most often.
        if not self._turn.acquire(timeout=PATIENCE_S if wait else 0):
            raise Busy("others are writing; try again")
        try:
            with transaction(self._engine, self.url, writing=True, wait=wait) as connection:
                connection.execute(select(REGISTER.c.one).with_for_update(nowait=not wait))
                yield connection
        finally:
            self._turn.release()

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()
