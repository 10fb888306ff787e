"""Packed folders made to do harm: too large, too tightly packed, pointing elsewhere, broken."""

from __future__ import annotations

import json
import stat
import struct
import zipfile
from collections.abc import Iterable
from pathlib import Path
from random import Random

from tests.contracts.sound_files import packed, sound_folder

MEGABYTE = 1_000_000
MEGABYTE_OF_NOTHING = b"0" * MEGABYTE
SECRET = "root:x:0:0"


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
        pour_nothing(archive, "daily.csv")
    return path


def pour_nothing(archive: zipfile.ZipFile, name: str) -> None:
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
