"""Where is the picture of the relief, and what does it cover?"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from slackwater.errors import InputFaults
from slackwater.files.reading import Reading, finding

SIDES = ("west", "south", "east", "north")
PNG_START = b"\x89PNG\r\n\x1a\n"


def read_relief(folder: Path, reading: Reading) -> tuple[str, Mapping[str, float]]:
    """Find ``relief.png`` and its bounds in ``relief.toml``.

    Returns
    -------
    path : text, "" where there is no picture or a fault was added.
    bounds : west, south, east, north in degrees.
    """
    picture, sidecar = folder / "relief.png", folder / "relief.toml"
    if not (picture.is_file() or picture.is_symlink()):
        return "", {}
    try:
        _require_picture(picture, reading)
        return str(picture), _bounds(sidecar, reading)
    except InputFaults as error:
        reading.faults.extend(error.faults)
        return "", {}


def _require_picture(picture: Path, reading: Reading) -> None:
    reading.require_accepted(picture, "relief")
    with picture.open("rb") as file:
        if file.read(len(PNG_START)) != PNG_START:
            raise _fault("relief.png is not a PNG picture")


def _bounds(sidecar: Path, reading: Reading) -> Mapping[str, float]:
    if not (sidecar.is_file() or sidecar.is_symlink()):
        raise _fault("relief.png needs relief.toml with west, south, east, north")
    reading.require_accepted(sidecar, "relief")
    try:
        given = tomllib.loads(sidecar.read_text("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise _fault(f"relief.toml is not TOML: {error}") from error
    bounds = {side: float(given[side]) for side in SIDES if _is_degrees(given.get(side))}
    if len(bounds) < len(SIDES) or not _is_box(bounds):
        raise _fault(
            "relief.toml must give west < east and south < north as numbers in degrees",
            ", ".join(f"{side} {given.get(side)}" for side in SIDES),
        )
    return bounds


def _is_degrees(value: Any) -> bool:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return is_number and abs(value) <= 180


def _is_box(bounds: Mapping[str, float]) -> bool:
    # The picture is in EPSG:3857, which ends near 85.06 degrees.
    return bounds["west"] < bounds["east"] and -85.06 <= bounds["south"] < bounds["north"] <= 85.06


def _fault(remedy: str, value: str = "") -> InputFaults:
    return InputFaults([finding("relief", "relief_bounds", remedy, value=value)])
