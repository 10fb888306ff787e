"""Files with a tiny catchment in them, packed and saved as they should be."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.files import tiny


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


@cache
def sound_bytes(ending: str) -> bytes:
    """A tiny catchment in one file, as it should be."""
    save = {".xlsx": tiny.save_workbook, ".gpkg": tiny.save_geopackage}[ending]
    with TemporaryDirectory() as folder:
        return save(Path(folder) / f"umber{ending}").read_bytes()


def sound_file(folder: Path, name: str) -> Path:
    """A tiny catchment in one file of that name."""
    path = folder / name
    path.write_bytes(sound_bytes(path.suffix))
    return path
