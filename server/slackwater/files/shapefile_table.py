"""What does a Shapefile say? Records numbered from 1, text in the encoding it declares."""

from __future__ import annotations

import re
from pathlib import Path

from slackwater.catchment.fields import TableSpec
from slackwater.catchment.raw import RawTable
from slackwater.errors import InputFaults
from slackwater.files.layer_table import read_layer
from slackwater.files.reading import Reading, finding, is_encoding

SIDECARS = (".shp", ".shx", ".dbf", ".prj", ".cpg")
"""Endings of the files that belong together; those of links and sizes are looked at as well."""

START = (9994).to_bytes(4, "big")


def read_shapefile_table(path: Path, spec: TableSpec, reading: Reading) -> RawTable:
    """Read one table from a Shapefile; its reference system is "" without a ``.prj``.

    Text is in the encoding the settings name, else in that of the ``.cpg`` file, else UTF-8.

    Raises
    ------
    InputFaults
        ``unreadable`` or ``encoding``.
    """
    with path.open("rb") as file:
        if file.read(len(START)) != START:
            remedy = f"{path.name} is not a Shapefile"
            raise InputFaults([finding(spec.name, "unreadable", remedy)])
    for ending in (".shx", ".dbf"):
        if _beside(path, ending) is None:
            remedy = f"{path.name} needs its {path.stem}{ending} beside it"
            raise InputFaults([finding(spec.name, "unreadable", remedy)])
    encoding = reading.encoding(spec.name) or _declared_encoding(path, spec.name) or "utf-8"
    # ENCODING="" hands the bytes over as they are, so that none is replaced in silence.
    return read_layer(
        path, spec, reading, encoding=encoding, open_options={"ENCODING": ""}, first_number=1
    )


def _beside(path: Path, ending: str) -> Path | None:
    for other in path.parent.iterdir():
        if other.stem == path.stem and other.suffix.lower() == ending:
            return other
    return None


def _declared_encoding(path: Path, table: str) -> str:
    """Give the encoding the ``.cpg`` file names, "" without one."""
    sidecar = _beside(path, ".cpg")
    if sidecar is None:
        return ""
    text = sidecar.read_bytes()[:100].decode("ascii", "replace").strip()
    name = encoding_of_code_page(text)
    if text and not name:
        remedy = f"{sidecar.name} names no known encoding; name it in the settings, [encoding]"
        raise InputFaults([finding(table, "encoding", remedy, value=text)])
    return name


def encoding_of_code_page(text: str) -> str:
    """Give Python's name of what ``.cpg`` files hold: UTF-8, 65001, 1252, ANSI 1252, 88591."""
    number = re.fullmatch(r"(?:ANSI|OEM|CP|WINDOWS)?[ _-]*([0-9]{3,5})", text, re.IGNORECASE)
    if number is None:
        name = text.replace(" ", "-")
    elif number[1] == "65001":
        name = "utf-8"
    elif number[1].startswith("8859"):
        name = f"iso8859-{number[1][4:]}"
    else:
        name = f"cp{number[1]}"
    return name if name and is_encoding(name) else ""
