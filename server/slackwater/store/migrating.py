"""Is the database's form the one this program knows, and how is it brought there?"""

from __future__ import annotations

from typing import Any

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect

from slackwater.errors import UsageError
from slackwater.store.schema import METADATA

VERSION_TABLE = "slackwater_version"
CONFIGURED: dict[str, Any] = {"version_table": VERSION_TABLE, "transactional_ddl": True}


def newest_form() -> str:
    """Give the form this program works with."""
    head = _scripts().get_current_head()
    assert head is not None
    return head


def form_of(connection: Connection) -> str:
    """Give the form the database has, "" where it has no table of ours.

    Raises
    ------
    UsageError
        Where it holds tables of someone else's under our names, or a form unknown here.
    """
    form = MigrationContext.configure(connection, opts=CONFIGURED).get_current_revision() or ""
    if not form:
        there = set(inspect(connection).get_table_names()) & set(METADATA.tables)
        if there:
            told = f"tables such as {min(there)}, but no form of Slackwater's"
            raise UsageError(f"this is another program's database: it has {told}")
        return ""
    known = {script.revision for script in _scripts().walk_revisions()}
    if form not in known:
        raise UsageError(
            f"a newer Slackwater made this database (form {form}); update this program to open it"
        )
    return form


def migrate(connection: Connection) -> None:
    """Bring the database to the newest form, in the open transaction."""
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", "slackwater.store:migrations")
    return config


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(_config())
