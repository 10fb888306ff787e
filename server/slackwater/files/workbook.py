"""What does a workbook say? A sheet a table, settings in the sheet ``catchment``."""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from contextlib import closing
from datetime import datetime, time
from pathlib import Path
from typing import Any

import openpyxl

from slackwater.catchment.contract import TABLES
from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.errors import InputFaults
from slackwater.files.grid import Line, table_from_grid
from slackwater.files.reading import Reading, finding, too_large
from slackwater.files.settings_sheet import settings_from_lines

SETTINGS_SHEET = "catchment"
LAST_ROW = 1_048_576
LARGEST_WHOLE = 2.0**53

FORMULA = re.compile(rb"<(?:[A-Za-z]{1,8}:)?f[ />]")
LONGEST_TAG = 11
ESCAPED_RETURN = "_x000D_"
"""A carriage return (ECMA-376, 22.9.2.19): XML would make it a line feed, the library leaves it."""

MALFORMED = (
    ArithmeticError, AttributeError, EOFError, LookupError, NotImplementedError, OSError,
    RuntimeError, SyntaxError, TypeError, ValueError, zipfile.BadZipFile, zlib.error,
)  # fmt: skip
"""What the library raises on a damaged workbook (a bad XML part is a ``SyntaxError``)."""


def read_workbook(path: Path, limit_bytes: int) -> RawCatchment:
    """Read a whole catchment from one workbook; sheets without a contract name are ignored.

    Cells are as the workbook last computed them; a formula never computed is a fault, and an
    error cell arrives as its text (``#REF!``). Rows are numbered as in the sheet.

    Raises
    ------
    InputFaults
        Where the file is too large, packed or unpacked, or no workbook.
    """
    reading = Reading(limit_bytes)
    reading.require_accepted(path, "catchment")
    try:
        uncomputed = _look_into(path, limit_bytes)
        with closing(openpyxl.load_workbook(path, read_only=True, data_only=True)) as book:
            sheets = {sheet.title: sheet for sheet in book.worksheets}
            return _read_sheets(path, sheets, uncomputed, reading)
    except MALFORMED as error:
        remedy = f"{path.name} is not a readable workbook; save it again as .xlsx ({error})"
        raise InputFaults([finding("catchment", "unreadable", remedy)]) from error


def _look_into(path: Path, limit_bytes: int) -> dict[str, set[tuple[int, int]]]:
    """Refuse what unpacks to too much; give the formula cells if there are any."""
    with zipfile.ZipFile(path) as packed:
        # Sizes as declared; unpacking stops with an error where a part has more.
        unpacked_bytes = sum(part.file_size for part in packed.infolist())
        if unpacked_bytes > limit_bytes:
            told = f"{path.name} unpacked"
            raise InputFaults([too_large(told, "catchment", unpacked_bytes, limit_bytes)])
        sheets = [name for name in packed.namelist() if name.startswith("xl/worksheets/")]
        if not any(_mentions_formula(packed, name) for name in sheets):
            return {}
    return _formula_cells(path)


def _mentions_formula(packed: zipfile.ZipFile, name: str) -> bool:
    tail = b""
    with packed.open(name) as part:
        while block := part.read(1 << 20):
            if FORMULA.search(tail + block):
                return True
            tail = block[-LONGEST_TAG:]
    return False


def _formula_cells(path: Path) -> dict[str, set[tuple[int, int]]]:
    """Give sheet -> (row, position) of each cell that holds a formula."""
    found: dict[str, set[tuple[int, int]]] = {}
    with closing(openpyxl.load_workbook(path, read_only=True)) as book:
        for sheet in book.worksheets:
            sheet.reset_dimensions()
            found[sheet.title] = {
                (row, position)
                for row, cells in enumerate(sheet.iter_rows(max_row=LAST_ROW), 1)
                for position, cell in enumerate(cells)
                if cell.data_type == "f"
            }
    return found


def _read_sheets(
    path: Path, sheets: dict[str, Any], formulas: dict[str, set[tuple[int, int]]], reading: Reading
) -> RawCatchment:
    settings: dict[str, Any] = {}
    settings_rows: dict[str, int] = {}
    if SETTINGS_SHEET in sheets:
        lines = _lines(sheets[SETTINGS_SHEET], formulas, reading)
        settings, settings_rows = settings_from_lines(lines, reading)
    told = Reading(reading.limit_bytes, settings, reading.faults)
    tables: dict[str, RawTable] = {}
    for name, spec in TABLES.items():
        if name not in sheets:
            continue
        try:
            tables[name] = table_from_grid(
                spec, f"sheet {name}", _lines(sheets[name], formulas, told), told
            )
        except InputFaults as error:
            told.faults.extend(error.faults)
    return RawCatchment(path.stem, settings, settings_rows, tables, tuple(told.faults))


def _lines(
    sheet: Any, formulas: dict[str, set[tuple[int, int]]], reading: Reading
) -> Iterator[Line]:
    sheet.reset_dimensions()  # what the file claims about its size may be wrong
    at_formula = formulas.get(sheet.title, set())
    for row, cells in enumerate(sheet.iter_rows(values_only=True, max_row=LAST_ROW), 1):
        if at_formula:
            _require_computed(sheet.title, row, cells, at_formula, reading)
        yield row, [_plain(cell) for cell in cells]


def _require_computed(
    table: str, row: int, cells: Sequence[Any], formulas: set[tuple[int, int]], reading: Reading
) -> None:
    for position, cell in enumerate(cells):
        if cell is None and (row, position) in formulas:
            letter = openpyxl.utils.get_column_letter(position + 1)
            remedy = (
                f"the formula in {letter}{row} was never computed; "
                "open the workbook in a spreadsheet and save it, or put the value there"
            )
            reading.faults.append(finding(table, "formula", remedy, row=row, column=letter))


def _plain(cell: Any) -> Any:
    """Give a cell as plain value: whole numbers as int, dates without a time as dates."""
    if isinstance(cell, str):
        return cell.replace(ESCAPED_RETURN, "\r")
    if isinstance(cell, datetime) and cell.time() == time():
        return cell.date()
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < LARGEST_WHOLE:
        return int(cell)
    return cell
