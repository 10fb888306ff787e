"""Photos as cameras make them, and as nobody should: written by an independent library."""

from __future__ import annotations

import io
from typing import Any

from PIL import Image

GPS_IFD, ORIENTATION, MAKER, OWNER = 0x8825, 0x0112, 0x010F, 0xA430
LAT, LON = (36, 30, 15.25), (144, 50, 0.5)
LAT_DEG, LON_DEG = -(36 + 30 / 60 + 15.25 / 3600), 144 + 50 / 60 + 0.5 / 3600


def picture(width: int = 64, height: int = 48, mode: str = "RGB") -> Image.Image:
    """Give a picture with some colour in it."""
    made = Image.new("RGB", (width, height))
    made.putdata(
        [(x * 3 % 256, y * 5 % 256, (x + y) % 256) for y in range(height) for x in range(width)]
    )
    return made.convert(mode)


def exif(*, orientation: int = 1, place: bool = True) -> Image.Exif:
    """Give what a camera says beside a picture."""
    said = Image.Exif()
    said[ORIENTATION] = orientation
    said[MAKER] = "UNDISCLOSED-MAKER"
    if place:
        said[GPS_IFD] = {1: "S", 2: LAT, 3: "E", 4: LON, 29: "2026:03:01"}
    return said


def jpeg(of: Image.Image | None = None, **more: Any) -> bytes:
    """Give a picture as a JPEG."""
    into = io.BytesIO()
    (of or picture()).save(into, "JPEG", **{"quality": 85, **more})
    return into.getvalue()


def opened(content: bytes) -> Image.Image:
    """Give the picture an independent decoder sees; all of it is decoded."""
    made = Image.open(io.BytesIO(content))
    made.load()
    return made


def with_size(content: bytes, width: int, height: int) -> bytes:
    """Have a JPEG say another size than it has."""
    at = content.index(b"\xff\xc0") + 5
    return content[:at] + height.to_bytes(2, "big") + width.to_bytes(2, "big") + content[at + 4 :]


def with_segment(content: bytes, marker: int, body: bytes) -> bytes:
    """Put a segment behind the start of a JPEG."""
    return (
        content[:2]
        + bytes((0xFF, marker))
        + (len(body) + 2).to_bytes(2, "big")
        + body
        + content[2:]
    )
