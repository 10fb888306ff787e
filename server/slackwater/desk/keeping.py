"""Back a database up, put a backup back, bring a database up to date; told in a line each."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from slackwater.store import Standing, migrate_database, open_register, restore
from slackwater.store.people import all_people


def backup_database(url: str, file: Path) -> str:
    """Write a backup into a new file and check it.

    Raises
    ------
    UsageError, StoreFailed
        Where it cannot be written, or is not whole.
    """
    with closing(open_register(url)) as register:
        standing = register.backup(file)
    size_mb = file.stat().st_size / 1e6
    return f"wrote {file} ({size_mb:,.1f} MB), read back and whole: {_told(standing)}"


def restore_database(file: Path, url: str, *, replace: bool) -> str:
    """Put a backup in place of all that a database holds.

    Raises
    ------
    UsageError
        Where the file is no backup, or the database holds data and ``replace`` is not set.
    StoreFailed
        Where the backup is damaged.
    """
    standing = restore(file, url, replace=replace)
    return f"restored {file}: {_told(standing)}{_people_told(url)}"


def migrate_text(url: str) -> str:
    """Bring a database to this program's form.

    Raises
    ------
    UsageError
        Where it is empty, another's, or of a newer form.
    """
    before, after = migrate_database(url)
    if before == after:
        return f"nothing to do: the database has form {after} already"
    return f"brought from form {before} to {after}"


def _people_told(url: str) -> str:
    """Say that people are again as they were: one removed since has come back."""
    with closing(open_register(url)) as register, register.connected.reading() as connection:
        count = len(all_people(connection))
    if not count:
        return ""
    return (
        f"; {count} accounts as they were then (slackwater user list shows them), "
        "and everybody signs in anew; tokens and public links that were ended since hold again: "
        "end them anew"
    )


def _told(standing: Standing) -> str:
    return (
        f"{standing.catchment_name}, revision {standing.revision} of {standing.changed_at}, "
        f"data version {standing.data_version}"
    )
