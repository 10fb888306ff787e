"""The tables a database has are those the program works with, however it came to them."""

from __future__ import annotations

import importlib
import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine, text

from slackwater.errors import UsageError
from slackwater.store import migrate_database, open_register, opening
from slackwater.store.address import address_of
from slackwater.store.migrating import CONFIGURED, VERSION_TABLE, newest_form
from slackwater.store.schema import METADATA
from tests.store.conftest import NewUrl
from tests.store.said import capacity, check, edit


def ours(name: str | None, kind: str, parent: object) -> bool:
    """Leave PostGIS's own table out."""
    del parent
    return not (kind == "table" and name == "spatial_ref_sys")


def test_the_migrations_make_the_tables_the_program_knows(url: str) -> None:
    """Alembic finds nothing that differs between the two, not even a type or a link."""
    engine = create_engine(address_of(url))
    with engine.connect() as connection:
        options = {**CONFIGURED, "include_name": ours, "compare_type": True,
                   "compare_server_default": True}  # fmt: skip
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, METADATA) == []
    engine.dispose()


def test_the_comparison_sees_a_column_that_is_missing(url: str) -> None:
    """The test above fails where one column or link is not there."""
    engine = create_engine(address_of(url))
    with engine.connect() as connection:
        connection.execute(text("ALTER TABLE offer_steps RENAME COLUMN words TO letters"))
        context = MigrationContext.configure(connection, opts={**CONFIGURED, "include_name": ours})
        found = {each[0] for each in compare_metadata(context, METADATA)}
        assert found == {"add_column", "remove_column"}
        connection.rollback()
        if engine.dialect.name == "sqlite":  # Python's driver commits what changes a table
            connection.execute(text("ALTER TABLE offer_steps RENAME COLUMN letters TO words"))
    engine.dispose()


def test_every_form_is_a_step_of_its_own() -> None:
    """A step that was released says all it makes itself: no later contract may change it."""
    folder = Path(importlib.import_module("slackwater.store.migrations").__file__ or "").parent
    for step in (folder / "versions").glob("*.py"):
        source = step.read_text(encoding="utf-8")
        assert "slackwater.catchment" not in source
        assert "store.schema" not in source


@pytest.mark.parametrize("kind", ["sqlite"])
def test_another_form_says_how_to_go_on(new_url: NewUrl, monkeypatch: pytest.MonkeyPatch) -> None:
    """A newer form is refused as such, an older one with the command that helps."""
    url = new_url()
    open_register(url, create=True).close()
    path = url.removeprefix("sqlite:///")
    with sqlite3.connect(path) as file:
        file.execute(f"UPDATE {VERSION_TABLE} SET version_num = '9999'")
    file.close()
    with pytest.raises(UsageError, match="newer Slackwater"):
        open_register(url)
    with pytest.raises(UsageError, match="newer Slackwater"):
        migrate_database(url)
    monkeypatch.setattr(opening, "newest_form", lambda: "a later one")
    with sqlite3.connect(path) as file:
        file.execute(f"UPDATE {VERSION_TABLE} SET version_num = ?", [newest_form()])
    file.close()
    with pytest.raises(UsageError, match="slackwater migrate --database"):
        open_register(url)


def test_migrating_what_is_up_to_date_changes_nothing(url: str) -> None:
    """Asked again it does nothing, and work goes on."""
    assert migrate_database(url) == (newest_form(), newest_form())
    register = open_register(url)
    assert register.apply(edit(capacity(0.3, 0.35)), check).standing.revision == 2
    register.close()


def test_places_are_real_geometry(url: str, kind: str) -> None:
    """In PostGIS a GIS can ask of them; in SQLite they are WKB."""
    engine = create_engine(address_of(url))
    asked, wanted = {
        "postgresql": (
            "ST_X(geometry), ST_SRID(geometry), GeometryType(geometry)",
            (100.0401, 4326, "POINT"),
        ),
        "sqlite": ("length(geometry), hex(substr(geometry, 1, 5))", (21, "0101000000")),
    }[kind]
    with engine.connect() as connection:
        found = connection.execute(text(f"SELECT {asked} FROM offtakes ORDER BY row_no")).first()
    engine.dispose()
    assert found is not None
    assert tuple(found) == wanted
