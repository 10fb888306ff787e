"""Where is the database? A file of SQLite, or PostgreSQL with PostGIS; connected to alike."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine import URL
from sqlalchemy.exc import ArgumentError

from slackwater.errors import UsageError

FILE_ENDINGS = (".sqlite", ".sqlite3", ".db")
PATIENCE_S = 30
"""How long a writer waits for others before it says that the database is busy."""

SQLITE_START = b"SQLite format 3\x00"
WRITING = "slackwater_writing"
"""Execution option of a connection that is going to write."""

WAITING = "slackwater_waiting"
"""Execution option of a connection that waits its turn; False where it rather gives up."""

EXAMPLES = "sqlite:///lantern.sqlite or postgresql://user@host/name"


def address_of(text: str) -> URL:
    """Understand where a database is: a URL, or the path of a SQLite file.

    Raises
    ------
    UsageError
        Where it is neither; what was given is not repeated, it may hold a password.
    """
    if "://" not in text and Path(text).suffix.lower() in FILE_ENDINGS:
        return URL.create("sqlite", database=text)
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        raise UsageError(f"that is no database; give one such as {EXAMPLES}") from None
    kind = url.drivername.partition("+")[0]
    if kind == "sqlite" and url.database not in (None, "", ":memory:"):
        return URL.create("sqlite", database=url.database)
    if kind in ("postgresql", "postgres"):
        return url.set(drivername="postgresql+psycopg")
    raise UsageError(f"a database of this kind cannot be used; give one such as {EXAMPLES}")


def shown(url: URL) -> str:
    """Give an address without its password."""
    if is_file(url):
        return str(url.database)
    return url.set(drivername="postgresql", query={}).render_as_string(hide_password=True)


def is_file(url: URL) -> bool:
    """Whether the database is a SQLite file."""
    return url.drivername == "sqlite"


def make_file(path: Path) -> None:
    """Make an empty file that its owner alone can read, before SQLite writes into it.

    SQLite gives the files it keeps beside it the same mode.

    Raises
    ------
    UsageError
        Where it cannot be made.
    """
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except OSError as error:
        raise UsageError(f"{path} cannot be made: {error.strerror}") from error


def require_file(path: Path) -> None:
    """Refuse what is no SQLite file.

    Raises
    ------
    UsageError
        Where there is nothing, or something else.
    """
    if not path.exists():
        raise UsageError(f"there is no database at {path}; slackwater import makes one")
    if not path.is_file():
        raise UsageError(f"{path} is not a file")
    try:
        with path.open("rb") as file:
            start = file.read(len(SQLITE_START))
    except OSError as error:
        raise UsageError(f"{path} cannot be read: {error.strerror}") from error
    if start not in (b"", SQLITE_START):
        raise UsageError(f"{path} is not a database of SQLite")


def connect(url: URL, *, read_only: bool = False) -> Engine:
    """Give an engine; connections are made when they are needed."""
    if not is_file(url):
        engine = create_engine(
            url,
            pool_pre_ping=True,
            pool_timeout=PATIENCE_S,
            connect_args={"connect_timeout": PATIENCE_S},
        )
        event.listen(engine, "connect", _prepare_server)
        return engine
    if read_only:
        path = Path(str(url.database)).resolve().as_uri()
        engine = create_engine(
            "sqlite://",
            creator=lambda: sqlite3.connect(f"{path}?mode=ro", uri=True, check_same_thread=False),
        )
    else:
        engine = create_engine(url, connect_args={"timeout": PATIENCE_S}, pool_timeout=PATIENCE_S)
        event.listen(engine, "connect", _prepare_file)
    event.listen(engine, "connect", _begin_by_hand)
    event.listen(engine, "begin", _begin)
    return engine


def _begin_by_hand(connection: Any, _: object) -> None:
    connection.isolation_level = None  # Python's driver would otherwise begin when it sees fit


def _prepare_file(connection: Any, _: object) -> None:
    for pragma in (
        f"busy_timeout = {PATIENCE_S * 1000}",  # the next pragma needs it already
        "journal_mode = WAL",
        "synchronous = FULL",
        "foreign_keys = ON",
    ):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    options = connection.get_execution_options()
    patience_ms = PATIENCE_S * 1000 if options.get(WAITING, True) else 0
    connection.exec_driver_sql(f"PRAGMA busy_timeout = {patience_ms}")
    # A writer takes the lock at once: one that first read could not, once another has written.
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get(WRITING) else "BEGIN")


def _prepare_server(connection: Any, _: object) -> None:
    with connection.cursor() as cursor:
        # What is acknowledged is on disk, whatever the server's own setting.
        cursor.execute("SET synchronous_commit TO on")
        cursor.execute(f"SET lock_timeout TO '{PATIENCE_S}s'")
    connection.commit()
