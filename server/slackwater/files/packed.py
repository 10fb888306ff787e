"""May a packed file be unpacked? Everything it says of itself is looked at before it is opened."""

from __future__ import annotations

import shutil
import stat
import struct
import zipfile
import zlib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from slackwater.errors import InputFaults
from slackwater.files.reading import finding

END_OF_DIRECTORY = b"PK\x05\x06"
END_BYTES, LONGEST_COMMENT = 22, 0xFFFF
ENCRYPTED = 0x1
PLAIN_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
SMALL_BYTES = 1_000_000
"""Parts up to this size may be packed as tightly as they are."""


@dataclass(frozen=True)
class Room:
    """What a packed file may hold.

    Attributes
    ----------
    parts : files and folders in it.
    unpacked_bytes : of all parts together.
    ratio : unpacked over packed bytes of a part that is not small.
    directory_bytes : of its own list of parts.
    """

    parts: int = 500
    unpacked_bytes: int = 256_000_000
    ratio: int = 200
    directory_bytes: int = 200_000


def parts_of(packed: Path, room: Room) -> list[zipfile.ZipInfo]:
    """List what a packed file holds, once that is known to be within bounds.

    Raises
    ------
    InputFaults
        Where it is no packed file, holds too much, is locked, or names places outside a folder.
    """
    _require_short_directory(packed, room)
    try:
        with zipfile.ZipFile(packed) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, zlib.error, OSError, ValueError, NotImplementedError) as error:
        raise refused("unreadable", f"it cannot be unpacked ({error}); pack it again") from error
    if len(parts) > room.parts:
        raise refused("too_many_files", f"it holds {len(parts):,} files, at most {room.parts:,}")
    for part in parts:
        _require_sound(part, room)
    unpacked_bytes = sum(part.file_size for part in parts)
    if unpacked_bytes > room.unpacked_bytes:
        raise _too_large(unpacked_bytes, room)
    return parts


def unpack(packed: Path, folder: Path, room: Room, endings: Collection[str]) -> None:
    """Unpack the files of one folder, which may stand at the root or one folder deep.

    Parameters
    ----------
    folder : an empty folder of ours.
    endings : what files may end in, in small letters with the point.

    Raises
    ------
    InputFaults
        Where `parts_of` refuses it, a file is of another kind, or it is not one flat folder.
    """
    files = [part for part in parts_of(packed, room) if not part.is_dir()]
    places = {part.filename: PurePosixPath(part.filename) for part in files}
    if not files:
        raise refused("empty", "there is no file in it")
    if len({place.parent for place in places.values()}) > 1 or any(
        len(place.parts) > 2 for place in places.values()
    ):
        raise refused("nested_folders", "put all files in one folder and pack that")
    names = [place.name for place in places.values()]
    if len({name.lower() for name in names}) < len(names):
        raise refused("file_twice", "it holds files of one name; keep one of each")
    for place in places.values():
        if place.suffix.lower() not in endings:
            told = f"files may end in {', '.join(sorted(endings))}"
            raise refused("wrong_type", told, str(place))
    try:
        with zipfile.ZipFile(packed) as archive:
            for part in files:  # no more than a part declares is ever written
                with (
                    archive.open(part) as source,
                    (folder / places[part.filename].name).open("xb") as target,
                ):
                    shutil.copyfileobj(source, target)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError) as error:
        raise refused("unreadable", f"it cannot be unpacked ({error}); pack it again") from error


def refused(code: str, remedy: str, value: str = "") -> InputFaults:
    """Give the fault of a file that is not taken in."""
    shown = value.encode("unicode_escape").decode()[:200]
    return InputFaults([finding("catchment", code, remedy, value=shown)])


def _require_short_directory(packed: Path, room: Room) -> None:
    """Refuse a list of parts so long that reading it would itself fill the memory."""
    with packed.open("rb") as file:
        size_bytes = file.seek(0, 2)
        file.seek(max(0, size_bytes - END_BYTES - LONGEST_COMMENT))
        tail = file.read()
    at = tail.rfind(END_OF_DIRECTORY)
    if at < 0 or len(tail) - at < END_BYTES:
        raise refused("unreadable", "it is not a packed file (.zip)")
    (directory_bytes,) = struct.unpack("<L", tail[at + 12 : at + 16])
    if directory_bytes > room.directory_bytes:
        raise refused("too_many_files", f"it holds more files than can be, at most {room.parts:,}")


def _require_sound(part: zipfile.ZipInfo, room: Room) -> None:
    name, place = part.filename, PurePosixPath(part.filename)
    # What ZipInfo cut off at a NUL, or turned from \ to /, stands in orig_filename.
    told = part.orig_filename
    if not told.isprintable() or "\\" in told or ":" in told or told != name:
        raise refused("bad_name", "name its files with letters, digits and points", told)
    if place.is_absolute() or ".." in place.parts or not name.strip("/. "):
        raise refused("outside_folder", "its files must lie in the folder that is packed", name)
    kind = stat.S_IFMT(part.external_attr >> 16)
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        raise refused("symbolic_link", "put the file itself there, not a link to it", name)
    if part.flag_bits & ENCRYPTED:
        raise refused("locked", "pack it without a password", name)
    if part.compress_type not in PLAIN_METHODS:
        raise refused("unreadable", "pack it in the ordinary way (deflate)", name)
    if part.file_size > max(SMALL_BYTES, room.ratio * part.compress_size):
        raise _too_large(part.file_size, room, name)


def _too_large(unpacked_bytes: int, room: Room, name: str = "") -> InputFaults:
    return refused(
        "unpacks_too_large",
        f"it would unpack to {unpacked_bytes / 1e6:,.1f} MB from far less; at most "
        f"{room.unpacked_bytes / 1e6:,.0f} MB in all and {room.ratio} times its packed size",
        name,
    )
