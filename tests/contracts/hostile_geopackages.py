"""GeoPackages made to do harm: endless views, foreign tables, triggers, broken or no databases."""

from __future__ import annotations

import io
import sqlite3
import struct
from contextlib import closing
from pathlib import Path

from tests.contracts.sound_files import sound_file


def _geopackage(folder: Path, name: str, *statements: str) -> Path:
    path = sound_file(folder, name)
    with closing(sqlite3.connect(path)) as database, database:
        for each in statements:
            database.execute(each)
    return path


ENDLESS = "WITH RECURSIVE n(i) AS (VALUES (1) UNION ALL SELECT i + 1 FROM n) SELECT i FROM n"


def endless_view(folder: Path) -> Path:
    """A table that is computed and never ends."""
    return _geopackage(
        folder, "endless.gpkg", "DROP TABLE daily", f"CREATE VIEW daily AS {ENDLESS}"
    )


def shadowed_list(folder: Path) -> Path:
    """Its list of layers is computed and never ends."""
    return _geopackage(
        folder,
        "shadowed.gpkg",
        "ALTER TABLE gpkg_contents RENAME TO hidden",
        f"CREATE VIEW gpkg_contents AS {ENDLESS}",
    )


def foreign_view(folder: Path) -> Path:
    """A view that loads a library of the machine, where it may."""
    return _geopackage(
        folder, "foreign.gpkg", "CREATE VIEW depots AS SELECT load_extension('/tmp/evil') AS name"
    )


def foreign_table(folder: Path) -> Path:
    """A table that is another file of the machine."""
    path = sound_file(folder, "virtual.gpkg")
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("PRAGMA writable_schema = ON")
        sql = "CREATE VIRTUAL TABLE depots USING VirtualOGR('/etc/passwd')"
        database.execute(
            "INSERT INTO sqlite_master VALUES ('table', 'depots', 'depots', 0, ?)", (sql,)
        )
    return path


def acting_trigger(folder: Path) -> Path:
    """A trigger that writes wherever something is written."""
    return _geopackage(
        folder,
        "trigger.gpkg",
        "CREATE TRIGGER evil AFTER INSERT ON daily BEGIN DELETE FROM reaches; END",
    )


def swollen_column(folder: Path) -> Path:
    """A column that is computed: a hundred million bytes a row out of nothing."""
    return _geopackage(
        folder,
        "swollen.gpkg",
        "CREATE TABLE swollen (name TEXT, big BLOB AS (zeroblob(100000000)))",
        "DROP TABLE daily",
        "ALTER TABLE swollen RENAME TO daily",
    )


def cut_geopackage(folder: Path) -> Path:
    """Half of a GeoPackage."""
    path = sound_file(folder, "cut.gpkg")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    return path


def knotted_geopackage(folder: Path) -> Path:
    """Pages overwritten with noise behind a sound head."""
    path = sound_file(folder, "knotted.gpkg")
    data = bytearray(path.read_bytes())
    for at in range(8192, len(data) - 64, 4096):
        data[at : at + 64] = bytes((at // 4096 * k) % 256 for k in range(64))
    path.write_bytes(data)
    return path


def other_database(folder: Path) -> Path:
    """A sound SQLite file that is no GeoPackage."""
    path = folder / "other.gpkg"
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("CREATE TABLE offtakes (a)")
    return path


def text_as_geopackage(folder: Path) -> Path:
    """A description that would send a reader to another host."""
    path = folder / "elsewhere.gpkg"
    path.write_text("<OGRVRTDataSource><OGRVRTLayer name='offtakes'>"
                    "<SrcDataSource>/vsicurl/http://169.254.169.254/</SrcDataSource>"
                    "</OGRVRTLayer></OGRVRTDataSource>")  # fmt: skip
    return path


def bottomless_place(folder: Path) -> Path:
    """A place that is a collection of a collection of a collection, half a million deep."""
    path = sound_file(folder, "bottomless.gpkg")
    head = b"GP\x00\x01" + struct.pack("<i", 4326)
    shape = io.BytesIO()
    for _ in range(500_000):
        shape.write(struct.pack("<BII", 1, 4, 1))
    shape.write(struct.pack("<BIdd", 1, 1, 100.0, -36.0))
    with closing(sqlite3.connect(path)) as database, database:
        for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            database.execute(f'DROP TRIGGER "{name}"')
        database.execute("UPDATE offtakes SET geom = ?", (head + shape.getvalue(),))
    return path
