"""What went wrong in the database, in plain words and without a password."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from slackwater.errors import Busy, SlackwaterError, StoreFailed, UsageError
from slackwater.store.address import is_file, shown

BUSY = ("database is locked", "database is busy", "lock timeout", "statement timeout",
        "could not obtain lock")  # fmt: skip


@contextmanager
def told_plainly(url: URL) -> Iterator[None]:
    """Turn the libraries' errors into ours.

    Raises
    ------
    Busy
        Where others kept the database locked for too long.
    UsageError
        Where the address, the user or the password is not right.
    StoreFailed
        Where the database cannot be reached, or cannot write.
    """
    try:
        yield
    except SQLAlchemyError as error:
        failure = _plain(url, error)
        failure.of_store = True
        raise failure from error


def _plain(url: URL, error: SQLAlchemyError) -> SlackwaterError:
    if isinstance(error, PoolTimeout):
        return Busy(f"{shown(url)} is busy; try again")
    cause = error.orig if isinstance(error, DBAPIError) else error
    message = " ".join(str(cause).split())
    if any(sign in message for sign in BUSY):
        return Busy(f"{shown(url)} is being written by others; try again")
    return _of_file(url, message) if is_file(url) else _of_server(url, message)


def _of_file(url: URL, message: str) -> SlackwaterError:
    where = shown(url)
    if "not a database" in message or "malformed" in message:
        return UsageError(f"{where} is damaged or no database ({message}); restore a backup")
    if "readonly" in message or "unable to open" in message:
        return UsageError(
            f"{where} cannot be written; SQLite needs to write the file and into its folder"
        )
    return StoreFailed(f"{where}: {message}")


def _of_server(url: URL, message: str) -> SlackwaterError:
    where = shown(url)
    if "password authentication failed" in message or "no password supplied" in message:
        return UsageError(f"{where}: the user or the password is not right")
    if f'database "{url.database}" does not exist' in message:
        return UsageError(f"{where}: that server has no such database; make it with createdb")
    if "role " in message and "does not exist" in message:
        return UsageError(f"{where}: that server has no such user")
    if "permission denied" in message:
        return UsageError(f"{where}: {_without_password(url, message)}")
    return StoreFailed(f"{where} cannot be reached or failed: {_without_password(url, message)}")


def _without_password(url: URL, message: str) -> str:
    return message.replace(str(url.password), "***") if url.password else message
