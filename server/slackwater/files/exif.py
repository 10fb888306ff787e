"""What does a photo say of itself that is worth keeping? Which way is up, and where it was taken.

Of all that a camera writes beside a picture (its number, its owner, a smaller picture) these two
are read, and written anew where they may stay.

Source: CIPA DC-008 (Exif 2.3), 4.6: TIFF directories, tags 0x0112 and 0x8825.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from dataclasses import dataclass

HEAD = b"Exif\x00\x00"
ORIENTATION, GPS = 0x0112, 0x8825
LAT_REF, LAT, LON_REF, LON = 1, 2, 3, 4
SHORT, LONG, ASCII, RATIONAL = 3, 4, 2, 5
MOST_ENTRIES = 200
UPRIGHT = 1
SECONDS_PARTS = 10_000
"""A ten-thousandth of a second of arc: 3 mm."""


@dataclass(frozen=True)
class Said:
    """What a photo says; ``place`` is latitude and longitude in degrees, None for none."""

    orientation: int = UPRIGHT
    place: tuple[float, float] | None = None


def read_exif(segment: bytes) -> Said:
    """Read an Exif segment, from its head on; what cannot be understood says nothing."""
    tiff = segment[len(HEAD) :]
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if not segment.startswith(HEAD) or order is None:
        return Said()
    try:
        (first,) = struct.unpack_from(f"{order}I", tiff, 4)
        top = _directory(tiff, order, first)
        (turned,) = _numbers(tiff, order, top, ORIENTATION, SHORT, 1) or (UPRIGHT,)
        within = _numbers(tiff, order, top, GPS, LONG, 1)
        place = _place(tiff, order, _directory(tiff, order, int(within[0]))) if within else None
    except (struct.error, ZeroDivisionError, OverflowError):
        return Said()
    return Said(int(turned) if 1 <= turned <= 8 else UPRIGHT, place)


def exif_of(said: Said) -> bytes:
    """Write an Exif segment that says this and nothing else, from its head on."""
    top = [(ORIENTATION, SHORT, 1, struct.pack(">HH", said.orientation, 0))]
    if said.place is None:
        return HEAD + b"MM\x00\x2a" + struct.pack(">I", 8) + _written(top)
    gps_at = 8 + 2 + 2 * 12 + 4
    top.append((GPS, LONG, 1, struct.pack(">I", gps_at)))
    lat, lon = said.place
    beside = gps_at + 2 + 4 * 12 + 4
    gps = [
        (LAT_REF, ASCII, 2, b"N\x00\x00\x00" if lat >= 0 else b"S\x00\x00\x00"),
        (LAT, RATIONAL, 3, struct.pack(">I", beside)),
        (LON_REF, ASCII, 2, b"E\x00\x00\x00" if lon >= 0 else b"W\x00\x00\x00"),
        (LON, RATIONAL, 3, struct.pack(">I", beside + 24)),
    ]
    tiff = b"MM\x00\x2a" + struct.pack(">I", 8) + _written(top) + _written(gps)
    return HEAD + tiff + _arc(abs(lat)) + _arc(abs(lon))


Entries = Mapping[int, tuple[int, int, int]]
"""Tag -> type, count, and where its value stands."""


def _directory(tiff: bytes, order: str, at: int) -> Entries:
    (count,) = struct.unpack_from(f"{order}H", tiff, at)
    entries = {}
    for number in range(min(count, MOST_ENTRIES)):
        entry = at + 2 + 12 * number
        tag, kind, values = struct.unpack_from(f"{order}HHI", tiff, entry)
        entries[tag] = (kind, values, entry + 8)
    return entries


def _numbers(
    tiff: bytes, order: str, entries: Entries, tag: int, kind: int, count: int
) -> tuple[float, ...]:
    """Give the numbers of a tag; none where it is not there or is of another kind."""
    if entries.get(tag, ())[:2] != (kind, count):
        return ()
    at = entries[tag][2]
    if kind == RATIONAL:
        (at,) = struct.unpack_from(f"{order}I", tiff, at)
        parts = struct.unpack_from(f"{order}{2 * count}I", tiff, at)
        return tuple(over / under for over, under in zip(parts[::2], parts[1::2], strict=True))
    letter = {SHORT: "H", LONG: "I", ASCII: "B"}[kind]
    return struct.unpack_from(f"{order}{count}{letter}", tiff, at)


def _place(tiff: bytes, order: str, gps: Entries) -> tuple[float, float] | None:
    """Give latitude and longitude, None where one is missing or nowhere on earth."""
    degrees = []
    for ref, tag, minus, most in ((LAT_REF, LAT, "S", 90), (LON_REF, LON, "W", 180)):
        arc = _numbers(tiff, order, gps, tag, RATIONAL, 3)
        side = _numbers(tiff, order, gps, ref, ASCII, 2)
        if not arc or not side:
            return None
        size = arc[0] + arc[1] / 60 + arc[2] / 3600
        if not size <= most:
            return None
        degrees.append(-size if chr(int(side[0])) == minus else size)
    return degrees[0], degrees[1]


def _written(entries: list[tuple[int, int, int, bytes]]) -> bytes:
    """Write a directory; no other follows it."""
    told = b"".join(struct.pack(">HHI", *entry[:3]) + entry[3] for entry in entries)
    return struct.pack(">H", len(entries)) + told + struct.pack(">I", 0)


def _arc(degrees: float) -> bytes:
    """Write degrees as whole degrees, whole minutes, and seconds in parts."""
    parts = round(degrees * 3600 * SECONDS_PARTS)
    minutes, seconds = divmod(parts, 60 * SECONDS_PARTS)
    return struct.pack(">6I", minutes // 60, 1, minutes % 60, 1, seconds, SECONDS_PARTS)
