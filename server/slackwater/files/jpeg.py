"""Is that a photo, and nothing but a photo? A JPEG taken apart and written again without the rest.

The picture itself is not decoded, so no decoder meets what a stranger sends: its segments are
walked, those that make the picture are kept where they have the form the standard gives them, and
all else (comments, profiles, whatever follows the end) is left out.

Source: ITU-T T.81 (JPEG), annex B: markers and the lengths of their segments.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from slackwater.errors import UsageError
from slackwater.files.exif import HEAD, UPRIGHT, Said, exif_of, read_exif

START, END = b"\xff\xd8", 0xD9
FRAMES = (0xC0, 0xC1, 0xC2)
"""Baseline, extended and progressive, the three that cameras and browsers write."""
HUFFMAN, SCAN, QUANTS, RESTART = 0xC4, 0xDA, 0xDB, 0xDD
JFIF, EXIF, ADOBE = 0xE0, 0xE1, 0xEE
LEFT_OUT = (*range(0xE0, 0xF0), 0xFE)
"""Segments of applications, and comments."""
NEXT_MARKER = re.compile(rb"\xff+([^\x00\xff\xd0-\xd7])")
MOST_SIDE_PX = 8_000
MOST_PIXELS = 25_000_000
MOST_SCANS = 50
MOST_SEGMENTS = 500


@dataclass(frozen=True)
class Picture:
    """A JPEG that is nothing else; ``has_place`` where it says where it was taken."""

    content: bytes
    width_px: int
    height_px: int
    has_place: bool


@dataclass
class _Walk:
    """What was found so far."""

    kept: list[bytes] = field(default_factory=list)
    said: Said = field(default_factory=Said)
    heads: dict[int, bytes] = field(default_factory=dict)
    size: tuple[int, int] | None = None
    parts: int = 0
    scans: int = 0


def only_picture(sent: bytes, *, keep_place: bool = False) -> Picture:
    """Take a JPEG apart and give it again without all that is not the picture.

    Parameters
    ----------
    keep_place : whether it may go on saying where it was taken; which way is up always stays.

    Raises
    ------
    UsageError
        Where it is no JPEG, is not whole, or would be too large once it is shown.
    """
    if not sent.startswith(START):
        raise UsageError("this is not a JPEG; send the photo as a JPEG")
    walk, at = _Walk(), len(START)
    for _ in range(MOST_SEGMENTS):
        found = NEXT_MARKER.match(sent, at)
        if found is None:
            raise _broken()
        marker, at = found.group(1)[0], found.end()
        if marker == END:
            return _picture(walk, keep_place=keep_place)
        at = _segment(sent, at, marker, walk)
    raise UsageError("this JPEG is made of too many parts")


def _segment(sent: bytes, at: int, marker: int, walk: _Walk) -> int:
    """Look at the segment whose length stands at a place; gives where the next begins."""
    length = int.from_bytes(sent[at : at + 2], "big")
    body = sent[at + 2 : at + length]
    if length < 2 or len(body) != length - 2:
        raise _broken()
    at += length
    if marker in LEFT_OUT:
        _of_application(marker, body, walk)
        return at
    if marker in FRAMES:
        _frame(body, walk)
    elif marker == SCAN:
        return _scan(sent, at, body, walk)
    elif not _has_form(marker, body):
        raise UsageError("this JPEG is of a kind that is not taken; save the photo again")
    walk.kept.append(_written(marker, body))
    return at


def _of_application(marker: int, body: bytes, walk: _Walk) -> None:
    """Remember what of an application's segment is worth it."""
    if marker == EXIF and body.startswith(HEAD) and walk.said == Said():
        walk.said = read_exif(body)
    elif marker == JFIF and body.startswith(b"JFIF\x00"):
        walk.heads[JFIF] = b"JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00"
    elif marker == ADOBE and body.startswith(b"Adobe") and len(body) >= 12:
        walk.heads[ADOBE] = b"Adobe\x00\x64\x00\x00\x00\x00" + body[11:12]  # which colours


def _frame(body: bytes, walk: _Walk) -> None:
    """Look at size and kind of the picture, before anybody makes room for it."""
    parts = body[5] if len(body) > 5 else 0
    if walk.size or parts not in (1, 3) or len(body) != 6 + 3 * parts or body[0] != 8:
        raise UsageError("this JPEG is of a kind that is not taken; save the photo again")
    height, width = int.from_bytes(body[1:3], "big"), int.from_bytes(body[3:5], "big")
    if not height or not width:
        raise _broken()
    if max(height, width) > MOST_SIDE_PX or height * width > MOST_PIXELS:
        raise UsageError(
            f"the photo has {width} x {height} pixels; at most {MOST_SIDE_PX} a side and "
            f"{MOST_PIXELS / 1e6:g} million in all are taken"
        )
    walk.size, walk.parts = (width, height), parts


def _scan(sent: bytes, at: int, body: bytes, walk: _Walk) -> int:
    """Keep a scan with all that follows it up to the next marker."""
    walk.scans += 1
    parts = body[0] if body else 0
    if not walk.size or not 1 <= parts <= walk.parts or len(body) != 4 + 2 * parts:
        raise _broken()
    if walk.scans > MOST_SCANS:
        raise UsageError("this JPEG is made of too many parts")
    ended = NEXT_MARKER.search(sent, at)
    if ended is None:
        raise _broken()
    walk.kept.append(_written(SCAN, body) + sent[at : ended.start()])
    return ended.start()


def _has_form(marker: int, body: bytes) -> bool:
    """Whether a table is as long as it says; nothing else has room in it then."""
    if marker == RESTART:
        return len(body) == 2
    if marker not in (HUFFMAN, QUANTS) or not body:
        return False
    at = 0
    while at < len(body):
        if marker == QUANTS:
            at += 1 + (128 if body[at] >> 4 else 64)
        else:
            at += 17 + sum(body[at + 1 : at + 17])
    return at == len(body)


def _picture(walk: _Walk, *, keep_place: bool) -> Picture:
    if not walk.size or not walk.scans:
        raise _broken()
    place = walk.said.place if keep_place else None
    heads = [_written(marker, walk.heads[marker]) for marker in sorted(walk.heads)]
    if walk.said.orientation != UPRIGHT or place:
        heads.insert(
            JFIF in walk.heads, _written(EXIF, exif_of(Said(walk.said.orientation, place)))
        )
    content = START + b"".join(heads) + b"".join(walk.kept) + bytes((0xFF, END))
    return Picture(content, *walk.size, place is not None)


def _written(marker: int, body: bytes) -> bytes:
    return bytes((0xFF, marker)) + (len(body) + 2).to_bytes(2, "big") + body


def _broken() -> UsageError:
    return UsageError("this JPEG is damaged or not whole; send the photo again")
