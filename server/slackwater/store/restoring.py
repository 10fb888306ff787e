"""How is a backup put back? All of it in one transaction, into whichever database."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, func, select

from slackwater.errors import UsageError
from slackwater.store.backup import check_whole, copy_rows, opened_backup
from slackwater.store.field_schema import RUNS
from slackwater.store.opening import open_register
from slackwater.store.people_schema import PEOPLE
from slackwater.store.records import Standing
from slackwater.store.schema import CASES, EDITS, OFFER_STEPS

HOLD_DATA = (EDITS, CASES, OFFER_STEPS, PEOPLE, RUNS)


def restore(path: Path, url: str, *, replace: bool = False) -> Standing:
    """Put a backup in place of all that a database holds; makes it where there is none.

    Parameters
    ----------
    replace : also where it holds data already.

    Raises
    ------
    UsageError
        Where the file is no backup, or the database holds data and ``replace`` is not set.
    StoreFailed
        Where the backup is damaged; what the database held stays.
    """
    with opened_backup(path) as copy:
        check_whole(copy, path.name)
        register = open_register(url, create=True)
        try:
            with register.connected.writing() as connection:
                if not replace and _holds_data(connection):
                    raise UsageError("that database holds data; --replace puts the backup over it")
                copy_rows(copy, connection)
                return check_whole(connection, "what was restored")
        finally:
            register.close()


def _holds_data(connection: Connection) -> bool:
    counts = (select(func.count()).select_from(table) for table in HOLD_DATA)
    return any(connection.execute(count).scalar() for count in counts)
