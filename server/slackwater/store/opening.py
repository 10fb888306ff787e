"""Open a database: the right one, of the form this program knows, made where it may be."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError

from slackwater.errors import UsageError
from slackwater.store.address import (
    address_of,
    connect,
    is_file,
    make_file,
    require_file,
    shown,
)
from slackwater.store.connected import Connected, transaction
from slackwater.store.migrating import form_of, migrate, newest_form
from slackwater.store.register import Register

MAKING = 71026
"""Number of the lock under which a server's tables are made."""


def is_there(url: str) -> bool:
    """Whether there is a database of ours, of whatever form.

    Raises
    ------
    UsageError, StoreFailed
        Where something else is there, or the server cannot be reached.
    """
    address = address_of(url)
    if is_file(address) and not Path(str(address.database)).exists():
        return False
    engine = _engine(address)
    try:
        with transaction(engine, address, writing=False) as connection:
            return bool(form_of(connection))
    finally:
        engine.dispose()


def open_register(url: str, *, create: bool = False) -> Register:
    """Open the database at a URL, or at the path of a SQLite file.

    Parameters
    ----------
    create : make it where there is none: the file, or the tables in an empty PostgreSQL database.

    Raises
    ------
    UsageError
        Where there is none, it is another's, or its form is older or newer than this program's.
    StoreFailed
        Where it cannot be reached.
    """
    address = address_of(url)
    if create and is_file(address):
        path = Path(str(address.database))
        if not path.exists():
            make_file(path)
    engine = _engine(address)
    try:
        _require_form(engine, address, create=create)
    except BaseException:
        engine.dispose()
        raise
    return Register(Connected(engine, address))


def migrate_database(url: str) -> tuple[str, str]:
    """Bring a database to the form this program knows, all or nothing.

    Returns
    -------
    before, after : the forms.

    Raises
    ------
    UsageError, StoreFailed
        As `open_register`.
    """
    address = address_of(url)
    engine = _engine(address)
    try:
        with transaction(engine, address, writing=True) as connection:
            before = form_of(connection)
            if not before:
                raise UsageError(f"{shown(address)} is empty; slackwater import fills it")
            migrate(connection)
    finally:
        engine.dispose()
    return before, newest_form()


def _engine(address: URL) -> Engine:
    if is_file(address):
        require_file(Path(str(address.database)))
    return connect(address)


def _require_form(engine: Engine, address: URL, *, create: bool) -> None:
    """Hold the database's form against this program's; make the tables where that is asked."""
    with transaction(engine, address, writing=False) as connection:
        form = form_of(connection)
    if form == newest_form():
        return
    where = shown(address)
    if form:
        raise UsageError(f"{where} has an older form; run: slackwater migrate --database {where}")
    if not create:
        raise UsageError(f"{where} is empty; slackwater import fills it")
    with transaction(engine, address, writing=True) as connection:
        if is_file(address):
            _require_empty(connection, where)
        else:
            connection.execute(text(f"SELECT pg_advisory_xact_lock({MAKING})"))
            _require_postgis(connection, where)
        if not form_of(connection):  # whoever came first has made them
            migrate(connection)


def _require_empty(connection: Connection, where: str) -> None:
    if inspect(connection).get_table_names() and not form_of(connection):
        raise UsageError(f"{where} is another program's database")


def _require_postgis(connection: Connection, where: str) -> None:
    """Have PostGIS there, for the places.

    Raises
    ------
    UsageError
        Where the server has none, or this user may not add it.
    """
    with suppress(DBAPIError):
        with connection.begin_nested():
            connection.execute(text("CREATE EXTENSION IF NOT EXISTS postgis"))
        return
    raise UsageError(
        f"{where} needs PostGIS; have its administrator run there: CREATE EXTENSION postgis"
    )
