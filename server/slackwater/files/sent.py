"""Is a file that someone sent what its ending says, and plain enough to be read?"""

from __future__ import annotations

import re
import sqlite3
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from slackwater.files.packed import Room, parts_of, refused

STARTS = {
    ".gpkg": b"SQLite format 3\x00",
    ".xlsx": b"PK\x03\x04",
    ".zip": b"PK\x03\x04",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".shp": (9994).to_bytes(4, "big"),
    ".shx": (9994).to_bytes(4, "big"),
}
TEXTS = (".csv", ".geojson", ".toml", ".prj", ".cpg")
IN_FOLDER = (*TEXTS, ".gpkg", ".shp", ".shx", ".dbf", ".png")
"""What the files of a catchment's folder end in."""

UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
XML = (".xml", ".rels", ".vml")
DECLARES = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)
LONGEST_MARK = 64
BLOCK = 1 << 20
MOST_TAGS = 12_000_000
"""Tags in all sheets: some 3 million cells."""
MOST_OTHER_TAGS = 200_000

OF_THE_STANDARD = re.compile(
    r"rtree_.+_(?:insert|update[0-9]|update|delete)"
    r"|(?:trigger_(?:insert|delete)_feature_count|gpkg_|gpkg_metadata).*"
)
"""Triggers that the GeoPackage standard, or the library that writes most of them, puts in."""
LOOKED_AT = 500
"""Steps, in thousands of thousands, that checking a database file may take."""


def require_kind(path: Path, ending: str) -> None:
    """Hold a file's content against its ending.

    Raises
    ------
    InputFaults
        ``wrong_type``, or what `require_plain_tables` and `require_plain_workbook` refuse.
    """
    with path.open("rb") as file:
        start = file.read(4096)
    wanted = STARTS.get(ending, b"")
    is_text = ending in TEXTS and (start[:2] in UTF16_MARKS or b"\x00" not in start)
    is_table = ending == ".dbf" and start[:1] in b"\x02\x03\x04\x05\x30\x83\x8b\xf5" and len(start)
    if not (is_text or is_table or (wanted and start.startswith(wanted))):
        raise refused("wrong_type", f"it ends in {ending} but is no such file", path.name)
    if ending == ".gpkg":
        require_plain_tables(path)


def require_plain_tables(path: Path) -> None:
    """Refuse a GeoPackage that computes what it says, or is knotted.

    A view, a virtual table or a computed column could give without end, or fetch from elsewhere;
    a trigger of its own could act. None is needed to hold a catchment.

    Raises
    ------
    InputFaults
        ``not_plain`` or ``unreadable``.
    """
    address = f"{path.resolve().as_uri()}?mode=ro&immutable=1"
    try:
        with closing(sqlite3.connect(address, uri=True)) as database:
            left = iter(range(LOOKED_AT))
            database.set_progress_handler(lambda: next(left, None) is None, 1_000_000)
            database.execute("PRAGMA trusted_schema = OFF")
            database.execute("PRAGMA cell_size_check = ON")
            _require_plain_schema(database, path.name)
            (told,) = database.execute("PRAGMA quick_check(1)").fetchone()
    except (sqlite3.Error, UnicodeError, TypeError) as error:
        raise refused("unreadable", f"it is not a sound GeoPackage ({error})", path.name) from error
    if told != "ok":
        raise refused("unreadable", f"it is not a sound GeoPackage ({told[:200]})", path.name)


def _require_plain_schema(database: sqlite3.Connection, name: str) -> None:
    held = database.execute("SELECT type, name, coalesce(sql, '') FROM sqlite_master").fetchall()
    for kind, each, sql in held:
        virtual = kind == "table" and re.match(r"\s*CREATE\s+VIRTUAL", sql, re.IGNORECASE)
        if kind == "view" or (virtual and not re.search(r"USING\s+\"?rtree", sql, re.IGNORECASE)):
            raise refused("not_plain", f"{each} is no table; save it as one and leave it out", name)
        if kind == "trigger" and not OF_THE_STANDARD.fullmatch(each):
            raise refused("not_plain", f"trigger {each} would act by itself; leave it out", name)
        if kind == "table" and not virtual:
            columns = database.execute("SELECT hidden FROM pragma_table_xinfo(?)", (each,))
            if any(hidden for (hidden,) in columns):
                told = f"{each} has computed columns; save them as values"
                raise refused("not_plain", told, name)


def require_plain_workbook(path: Path, room: Room) -> None:
    """Refuse a workbook that unpacks to too much or declares entities of its own.

    Raises
    ------
    InputFaults
        ``not_plain``, ``unpacks_too_large``, or what `parts_of` refuses.
    """
    parts = parts_of(path, room)
    if "[Content_Types].xml" not in {part.filename for part in parts}:
        raise refused("wrong_type", "it is no workbook (.xlsx)", path.name)
    tags = {True: 0, False: 0}
    try:
        with zipfile.ZipFile(path) as archive:
            for part in parts:
                if not part.filename.lower().endswith(XML):
                    continue
                is_cells = part.filename.startswith(("xl/worksheets/", "xl/sharedStrings"))
                tags[is_cells] += sum(_tags(archive, part))
                if tags[True] > MOST_TAGS or tags[False] > MOST_OTHER_TAGS:
                    told = "it holds more cells or formats than can be read; send a folder (.zip)"
                    raise refused("unpacks_too_large", told, part.filename)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, struct.error) as error:
        told = f"it is not a readable workbook ({error}); save it again as .xlsx"
        raise refused("unreadable", told, path.name) from error


def _tags(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[int]:
    """Count tags block by block, refusing declarations of entities and disguised text."""
    tail = b""
    with archive.open(part) as text:
        while block := text.read(BLOCK):
            if (not tail and (block[:2] in UTF16_MARKS or b"\x00" in block[:4])) or DECLARES.search(
                tail + block
            ):
                told = "it declares entities of its own; save it again in a spreadsheet"
                raise refused("not_plain", told, part.filename)
            tail = block[-LONGEST_MARK:]
            yield block.count(b"<")
