"""Workbooks made to do harm: bombs, entities, links elsewhere, broken or no workbooks at all."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from tests.contracts.hostile_folders import pour_nothing
from tests.contracts.sound_files import sound_bytes, sound_file, sound_folder


def _workbook(folder: Path, name: str, parts: dict[str, bytes]) -> Path:
    """A sound workbook with some of its parts put in the place of what was there."""
    path = folder / name
    with (
        zipfile.ZipFile(io.BytesIO(sound_bytes(".xlsx"))) as old,
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
        pour_nothing(archive, "xl/worksheets/sheet99.xml")
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
