"""Where does the database stand, and what does it hold? The catchment read and put as a whole."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import Connection, delete, insert, select, update

from slackwater.store.records import Relief, Standing
from slackwater.store.rows import insert_rows, read_tables
from slackwater.store.schema import CONTRACT, METADATA, REGISTER, RELIEF
from slackwater.store.stored import StoredCatchment, stored_catchment


def now() -> str:
    """Give the time as ISO text, UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def read_standing(connection: Connection) -> Standing:
    """Say where the database stands."""
    row = connection.execute(select(REGISTER)).one()
    name = stored_catchment({}, row.settings, row.default_name).settings.get("name")
    told = name if isinstance(name, str) and name else row.default_name
    return Standing(row.revision, row.data_version, row.changed_at, told)


def next_standing(before: Standing, after: StoredCatchment, data_version: str) -> Standing:
    """Give where the database will stand after a write."""
    name = after.settings.get("name")
    told = name if isinstance(name, str) and name else after.default_name
    return Standing(before.revision + 1, data_version, now(), told)


def put_standing(connection: Connection, standing: Standing, raw: StoredCatchment) -> None:
    """Write where the database now stands, and its settings."""
    connection.execute(
        update(REGISTER).values(
            revision=standing.revision,
            data_version=standing.data_version,
            changed_at=standing.changed_at,
            default_name=raw.default_name,
            settings=raw.settings_text,
        )
    )


def read_catchment(connection: Connection) -> StoredCatchment:
    """Read the whole catchment as it stands."""
    row = connection.execute(select(REGISTER)).one()
    return stored_catchment(read_tables(connection), row.settings, row.default_name)


def replace_catchment(connection: Connection, raw: StoredCatchment) -> None:
    """Put these tables in place of all that there are."""
    in_order = [table.name for table in METADATA.sorted_tables if table.name in CONTRACT]
    for name in reversed(in_order):  # whoever refers goes first, so that none is looked for
        connection.execute(delete(CONTRACT[name]))
    for name in in_order:
        insert_rows(connection, raw.tables[name])


def read_relief(connection: Connection) -> Relief | None:
    """Give the picture of the relief, None where there is none."""
    row = connection.execute(select(RELIEF)).first()
    if row is None:
        return None
    return Relief(row.png, (row.west, row.south, row.east, row.north))


def put_relief(connection: Connection, relief: Relief | None) -> None:
    """Put a picture in place of the one there; without one, that stays."""
    if relief is None:
        return
    west, south, east, north = relief.bounds
    sides = {"west": west, "south": south, "east": east, "north": north}
    connection.execute(delete(RELIEF))
    connection.execute(insert(RELIEF), {"one": 1, "png": relief.png, **sides})
