"""One file that holds it all, as of one moment: written, checked, and put back.

It is a database of SQLite in the same form whichever database it comes from, so a backup of one
kind can be restored into the other.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy import Connection, delete, insert, select, text, update
from sqlalchemy.engine import URL

from slackwater.catchment.understand import understand
from slackwater.errors import StoreFailed, UsageError
from slackwater.store.address import connect, is_file, make_file, require_file
from slackwater.store.connected import Connected, transaction
from slackwater.store.field_schema import PHOTOS
from slackwater.store.meetings import END_ALL
from slackwater.store.migrating import form_of, migrate, newest_form
from slackwater.store.people_schema import PASSING
from slackwater.store.records import Standing
from slackwater.store.schema import METADATA, REGISTER
from slackwater.store.standing import now, read_catchment, read_standing

AT_ONCE = 1_000
PICTURES_AT_ONCE = 10


def write_backup(source: Connected, path: Path) -> Standing:
    """Write all of a database as it stands at one moment into a new file, and check it.

    Whoever edits meanwhile is not held up.

    Returns
    -------
    Where the database stood at that moment.

    Raises
    ------
    UsageError
        Where there is a file of that name, or it cannot be made.
    StoreFailed
        Where the copy is not whole.
    """
    if path.exists():
        raise UsageError(f"{path} is there already; give a new name")
    try:
        folder = tempfile.TemporaryDirectory(dir=path.parent, prefix=".slackwater-backup-")
    except OSError as error:
        raise UsageError(f"{path} cannot be made: {error.strerror}") from error
    with folder as name:
        partial = Path(name) / "partial.sqlite"
        make_file(partial)
        if is_file(source.url):
            _copy_pages(source, partial)
        else:
            _copy_rows_out(source, partial)
        _make_single(partial)
        with opened_backup(partial) as copy:
            standing = check_whole(copy, path.name)
        _to_disk(partial)
        os.replace(partial, path)
    _to_disk(path.parent)
    return standing


@contextmanager
def opened_backup(path: Path) -> Iterator[Connection]:
    """Open a backup to read; one of an older form is brought up to date in a copy.

    Raises
    ------
    UsageError
        Where it is no backup, or a newer program made it.
    """
    require_file(path)
    with _file(path, read_only=True) as connection:
        form = form_of(connection)
        if not form:
            raise UsageError(f"{path} is no backup of Slackwater")
        if form == newest_form():
            yield connection
            return
    with tempfile.TemporaryDirectory() as folder:
        copied = Path(folder) / "copy.sqlite"
        shutil.copyfile(path, copied)
        with _file(copied) as connection:
            migrate(connection)
            yield connection


def check_whole(connection: Connection, name: str) -> Standing:
    """Check that a database is sound, to the last link and the data version.

    Raises
    ------
    StoreFailed
        Where it is not.
    """
    if connection.dialect.name == "sqlite":
        found = connection.exec_driver_sql("PRAGMA integrity_check").scalar()
        if found != "ok":
            raise StoreFailed(f"{name} is damaged: {found}")
        if connection.exec_driver_sql("PRAGMA foreign_key_check").first():
            raise StoreFailed(f"{name} is damaged: rows name others that are not there")
    standing = read_standing(connection)
    if standing.revision:
        understood = understand(read_catchment(connection))
        version = understood.catchment.data_version if understood.catchment else "none: at fault"
        if version != standing.data_version:
            told = f"it says data version {standing.data_version}, its data have {version}"
            raise StoreFailed(f"{name} is not whole: {told}")
    return standing


def copy_rows(source: Connection, target: Connection) -> None:
    """Put every row of one database in place of all rows of another; nobody stays signed in."""
    tables = [table for table in METADATA.sorted_tables if table is not REGISTER]
    for table in reversed(tables):
        target.execute(delete(table))
    for table in (each for each in tables if each not in PASSING):
        at_once = PICTURES_AT_ONCE if table is PHOTOS else AT_ONCE
        rows = source.execution_options(yield_per=at_once).execute(
            select(table).order_by(*table.primary_key)
        )
        for some in rows.mappings().partitions():
            target.execute(insert(table), [dict(row) for row in some])
    # Not taken out and put in: whoever waits to write waits for this very row.
    standing = source.execute(select(REGISTER)).mappings().one()
    target.execute(update(REGISTER).values(**standing))


def _copy_pages(source: Connected, path: Path) -> None:
    """Copy a file page by page, in one step: all of one moment; less what is of the hour."""
    with closing(sqlite3.connect(path)) as copy:
        with source.reading() as connection:
            plain = connection.connection.driver_connection
            assert isinstance(plain, sqlite3.Connection)
            plain.backup(copy)
        for table in PASSING:
            copy.execute(str(delete(table)))
        copy.execute(END_ALL, {"at": now()})  # what is put back some day is no meeting any more
        copy.commit()
        copy.execute("VACUUM")  # else what was deleted would still stand in its pages


def _copy_rows_out(source: Connected, path: Path) -> None:
    with source.reading() as connection, _file(path) as target:
        migrate(target)
        copy_rows(connection, target)
        target.execute(text(END_ALL), {"at": now()})


@contextmanager
def _file(path: Path, *, read_only: bool = False) -> Iterator[Connection]:
    """Open a file of SQLite for one transaction."""
    address = URL.create("sqlite", database=str(path))
    engine = connect(address, read_only=read_only)
    try:
        with transaction(engine, address, writing=not read_only) as connection:
            yield connection
    finally:
        engine.dispose()


def _make_single(path: Path) -> None:
    """Have it be one file: a database that is worked on keeps two more beside it."""
    with closing(sqlite3.connect(path)) as copy:
        copy.execute("PRAGMA journal_mode = DELETE")


def _to_disk(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
