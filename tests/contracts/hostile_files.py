"""Files made to do harm: too large, too tightly packed, pointing elsewhere, broken.

Each function writes one into a folder and gives its path; none holds anything harmful itself.
"""

from __future__ import annotations

import io
import json
import sqlite3
import stat
import struct
import zipfile
from collections.abc import Callable, Iterable
from contextlib import closing
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.files import tiny

MEGABYTE = 1_000_000
MEGABYTE_OF_NOTHING = b"0" * MEGABYTE
SECRET = "root:x:0:0"

Maker = Callable[[Path], Path]


def packed(path: Path, files: Iterable[tuple[str, bytes]]) -> Path:
    """Pack files as they are named."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, data in files:
            archive.writestr(name, data)
    return path


def sound_folder(folder: Path, name: str = "umber.zip", inside: str = "umber/") -> Path:
    """A tiny catchment, packed as it should be."""
    made = tiny.save_folder(folder / f"{name} unpacked")
    files = [(f"{inside}{each.name}", each.read_bytes()) for each in sorted(made.iterdir())]
    return packed(folder / name, files)


def _with_more(
    folder: Path, name: str, more: Iterable[tuple[str | zipfile.ZipInfo, bytes]]
) -> Path:
    path = sound_folder(folder, name)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        for each, data in more:
            archive.writestr(each, data)
    return path


def flat_bomb(folder: Path) -> Path:
    """A table of 270 MB that packs to almost nothing."""
    path = folder / "flat bomb.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        _pour_nothing(archive, "daily.csv")
    return path


def _pour_nothing(archive: zipfile.ZipFile, name: str) -> None:
    with archive.open(name, "w") as part:
        for _ in range(270):
            part.write(MEGABYTE_OF_NOTHING)


def many_small_bombs(folder: Path) -> Path:
    """Many files, each just small enough to be packed as tightly as they like."""
    path = folder / "many small bombs.zip"
    return packed(path, ((f"{n}.csv", MEGABYTE_OF_NOTHING) for n in range(270)))


def nested_bomb(folder: Path) -> Path:
    """A packed file in a packed file."""
    inner = packed(folder / "inner.zip", [("daily.csv", MEGABYTE_OF_NOTHING)])
    return packed(folder / "nested.zip", [("umber/inner.zip", inner.read_bytes())])


def lying_bomb(folder: Path) -> Path:
    """It says that its file unpacks to ten bytes; it unpacks to 50 MB."""
    path = packed(folder / "lying.zip", [("daily.csv", MEGABYTE_OF_NOTHING * 50)])
    data = bytearray(path.read_bytes())
    for mark, at in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        start = data.index(mark) + at
        data[start : start + 4] = struct.pack("<L", 10)
    path.write_bytes(data)
    return path


def countless_files(folder: Path) -> Path:
    """Twenty thousand empty files: of more, the list alone would fill a memory."""
    return packed(folder / "countless.zip", ((f"{n}.csv", b"") for n in range(20_000)))


def overlapping(folder: Path) -> Path:
    """Its list names one packed file twenty times over."""
    path = packed(folder / "overlapping.zip", [("daily.csv", MEGABYTE_OF_NOTHING)])
    data = path.read_bytes()
    start, end = data.index(b"PK\x01\x02"), data.index(b"PK\x05\x06")
    entry = data[start:end]
    entries = b"".join(entry.replace(b"daily", f"dai{n:02d}".encode()) for n in range(20))
    last = bytearray(data[end:])
    last[8:16] = struct.pack("<HHL", 20, 20, len(entries))
    path.write_bytes(data[:start] + entries + last)
    return path


def out_of_the_folder(folder: Path) -> Path:
    """A file that would be written two folders up."""
    return _with_more(folder, "up.zip", [("../../evil.csv", b"a\n1\n")])


def at_the_root(folder: Path) -> Path:
    """A file that would be written to an absolute place."""
    return _with_more(folder, "root.zip", [("/tmp/evil.csv", b"a\n1\n")])


def other_strokes(folder: Path) -> Path:
    """A way up as another system writes it."""
    told = zipfile.ZipInfo("umber/x.csv")
    told.filename = "..\\evil.csv"
    return _with_more(folder, "strokes.zip", [(told, b"a\n1\n")])


def control_in_name(folder: Path) -> Path:
    """A file whose name would ring a bell and overwrite the line."""
    return _with_more(folder, "bell.zip", [("umber/da\x07\r\x1b[2Jily.csv", b"a\n1\n")])


def a_link(folder: Path) -> Path:
    """A table that only points to another file of the machine."""
    link = zipfile.ZipInfo("umber/land.geojson")
    link.create_system, link.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    return _with_more(folder, "link.zip", [(link, b"/etc/passwd")])


def a_device(folder: Path) -> Path:
    """A table that would never end to be read."""
    device = zipfile.ZipInfo("umber/land.geojson")
    device.create_system, device.external_attr = 3, (stat.S_IFCHR | 0o666) << 16
    return _with_more(folder, "device.zip", [(device, b"")])


def locked(folder: Path) -> Path:
    """A file that needs a password."""
    path = sound_folder(folder, "locked.zip")
    data = bytearray(path.read_bytes())
    at = 0
    while (at := data.find(b"PK\x01\x02", at)) >= 0:
        data[at + 8] |= 1
        at += 4
    path.write_bytes(data)
    return path


def deep_folders(folder: Path) -> Path:
    """Folders in folders."""
    return sound_folder(folder, "deep.zip", inside="a/b/umber/")


def a_program(folder: Path) -> Path:
    """Something that is no table beside the tables."""
    return _with_more(folder, "program.zip", [("umber/setup.exe", b"MZ")])


def disguised(folder: Path) -> Path:
    """A program that calls itself a table."""
    return _with_more(folder, "disguised.zip", [("umber/land.csv", b"\x7fELF\x00\x00\x00\x00")])


def cut_off(folder: Path) -> Path:
    """Half of a packed file."""
    path = sound_folder(folder, "cut.zip")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    return path


def damaged(folder: Path) -> Path:
    """A packed file with one byte of its content changed."""
    path = sound_folder(folder, "damaged.zip")
    data = bytearray(path.read_bytes())
    data[200] ^= 0xFF
    path.write_bytes(data)
    return path


def not_packed(folder: Path) -> Path:
    """A text that calls itself a packed file."""
    path = folder / "text.zip"
    path.write_text("offtake_id,kind\n")
    return path


def wide_text(folder: Path) -> Path:
    """A header of a million columns over a hundred thousand short rows."""
    table = b",".join(b"c%d" % n for n in range(1_000_000)) + b"\n" + b"1\n" * 100_000
    return packed(folder / "wide.zip", [("umber/daily.csv", table)])


def swelling_text(folder: Path) -> Path:
    """As many columns as may be, over two million rows of one character each."""
    digits = Random(1).choices(b"123456789", k=2_000_000)
    table = (
        b",".join(b"c%d" % n for n in range(1_000)) + b"\n" + b"\n".join(map(b"%c".__mod__, digits))
    )
    return packed(folder / "swelling.zip", [("umber/land.csv", table)])


def strange_properties(folder: Path) -> Path:
    """Forty thousand features, each with a property of its own."""
    features = [
        {"type": "Feature", "properties": {f"p{n}": 1}, "geometry": None} for n in range(40_000)
    ]
    text = json.dumps({"type": "FeatureCollection", "features": features}).encode()
    return packed(folder / "strange.zip", [("umber/land.geojson", text)])


def nested_text(folder: Path) -> Path:
    """A list in a list, a million deep."""
    return packed(folder / "nested text.zip", [("umber/land.geojson", b"[" * MEGABYTE)])


@cache
def _sound(ending: str) -> bytes:
    """A tiny catchment in one file, as it should be."""
    save = {".xlsx": tiny.save_workbook, ".gpkg": tiny.save_geopackage}[ending]
    with TemporaryDirectory() as folder:
        return save(Path(folder) / f"umber{ending}").read_bytes()


def sound_file(folder: Path, name: str) -> Path:
    """A tiny catchment in one file of that name."""
    path = folder / name
    path.write_bytes(_sound(path.suffix))
    return path


def _workbook(folder: Path, name: str, parts: dict[str, bytes]) -> Path:
    """A sound workbook with some of its parts put in the place of what was there."""
    path = folder / name
    with (
        zipfile.ZipFile(io.BytesIO(_sound(".xlsx"))) as old,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new,
    ):
        for each in old.namelist():
            if each not in parts:
                new.writestr(each, old.read(each))
        for each, data in parts.items():
            new.writestr(each, data)
    return path


SHEET = (
    b'<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/'
    b'main"><sheetData>%s</sheetData></worksheet>'
)
FIRST_SHEET = "xl/worksheets/sheet1.xml"
TABLE_SHEET = "xl/worksheets/sheet2.xml"


def workbook_bomb(folder: Path) -> Path:
    """A sheet of 270 MB that packs to almost nothing."""
    path = sound_file(folder, "bomb.xlsx")
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        _pour_nothing(archive, "xl/worksheets/sheet99.xml")
    return path


def laughing_workbook(folder: Path) -> Path:
    """Entities made of entities."""
    lines = "".join(f'<!ENTITY a{n + 1} "{f"&a{n};" * 10}">' for n in range(9))
    head = f'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a0 "ha">{lines}]>'.encode()
    sheet = SHEET.split(b"?>", 1)[1] % b"<row><c t='str'><v>&a9;</v></c></row>"
    return _workbook(folder, "laughing.xlsx", {FIRST_SHEET: head + sheet})


def reaching_workbook(folder: Path) -> Path:
    """An entity that stands for a file of the machine, written in another encoding."""
    text = (
        '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE a [<!ENTITY x SYSTEM '
        '"file:///etc/passwd">]><worksheet xmlns="http://schemas.openxmlformats.org/'
        'spreadsheetml/2006/main"><sheetData><row><c t="str"><v>&x;</v></c></row></sheetData>'
        "</worksheet>"
    )
    return _workbook(folder, "reaching.xlsx", {FIRST_SHEET: text.encode("utf-16")})


def wide_workbook(folder: Path) -> Path:
    """Every row has one cell, in the last column a sheet can have."""
    rows = b"".join(
        b'<row r="%d"><c r="XFD%d" t="str"><v>x%d</v></c></row>' % (n, n, n)
        for n in range(1, 60_001)
    )
    return _workbook(folder, "wide.xlsx", {TABLE_SHEET: SHEET % rows})


def styled_workbook(folder: Path) -> Path:
    """Half a million formats."""
    styles = (
        b'<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs>'
        + b"<xf/>" * 500_000
        + b"</cellXfs></styleSheet>"
    )
    return _workbook(folder, "styled.xlsx", {"xl/styles.xml": styles})


def damaged_workbook(folder: Path) -> Path:
    """A workbook whose sheet breaks off."""
    return _workbook(folder, "damaged.xlsx", {"xl/workbook.xml": b"<workbook><sheets><sheet"})


def packed_as_workbook(folder: Path) -> Path:
    """A packed folder that calls itself a workbook."""
    return sound_folder(folder, "folder.xlsx")


def text_as_workbook(folder: Path) -> Path:
    """A text that calls itself a workbook."""
    path = folder / "text.xlsx"
    path.write_text("offtake_id,kind\n")
    return path


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


REFUSED: tuple[tuple[Maker, str], ...] = (
    (flat_bomb, "unpacks_too_large"),
    (many_small_bombs, "unpacks_too_large"),
    (nested_bomb, "wrong_type"),
    (lying_bomb, "unreadable"),
    (countless_files, "too_many_files"),
    (overlapping, "unreadable"),
    (out_of_the_folder, "outside_folder"),
    (at_the_root, "outside_folder"),
    (other_strokes, "bad_name"),
    (control_in_name, "bad_name"),
    (a_link, "symbolic_link"),
    (a_device, "symbolic_link"),
    (locked, "locked"),
    (deep_folders, "nested_folders"),
    (a_program, "wrong_type"),
    (disguised, "wrong_type"),
    (cut_off, "unreadable"),
    (damaged, "unreadable"),
    (not_packed, "wrong_type"),
    (wide_text, "too_many_columns"),
    (swelling_text, "unreadable"),
    (strange_properties, "too_many_columns"),
    (nested_text, "unreadable"),
    (workbook_bomb, "unpacks_too_large"),
    (laughing_workbook, "not_plain"),
    (reaching_workbook, "not_plain"),
    (wide_workbook, "too_many_columns"),
    (styled_workbook, "unpacks_too_large"),
    (damaged_workbook, "unreadable"),
    (packed_as_workbook, "wrong_type"),
    (text_as_workbook, "wrong_type"),
    (endless_view, "not_plain"),
    (shadowed_list, "not_plain"),
    (foreign_view, "not_plain"),
    (foreign_table, "not_plain"),
    (acting_trigger, "not_plain"),
    (swollen_column, "not_plain"),
    (cut_geopackage, "unreadable"),
    (knotted_geopackage, "unreadable"),
    (other_database, "unreadable"),
    (text_as_geopackage, "wrong_type"),
    (bottomless_place, "unreadable"),
)
"""Every hostile file with the code of its refusal."""
