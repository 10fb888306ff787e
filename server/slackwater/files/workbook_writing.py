"""How is a catchment written as one workbook? A sheet a table, points as lon and lat."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

import xlsxwriter

from slackwater.catchment.fields import Shape
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table
from slackwater.errors import UsageError
from slackwater.files.settings_sheet import KEY, VALUE
from slackwater.files.settings_writing import settings_rows
from slackwater.files.unfinished import finished
from slackwater.files.workbook import LAST_ROW, SETTINGS_SHEET
from slackwater.files.written_cells import plain_column, written_tables
from slackwater.sheet_cells import ExactWorksheet, write_row


def write_workbook(tables: Mapping[str, Table], settings: Settings, path: Path) -> None:
    """Write a catchment as one workbook.

    Text is written as text cells, which no spreadsheet evaluates and which keep leading zeros.
    Lines and areas cannot go to a sheet: their other columns are written. Every column given is
    written, private ones too: choose the columns before.

    Raises
    ------
    UsageError
        Where a table has more rows than a sheet.
    """
    for table in written_tables(tables):
        if len(table) >= LAST_ROW:
            raise UsageError(f"{table.name} has too many rows for a sheet; write a GeoPackage")
    with finished(path) as partial, closing(xlsxwriter.Workbook(partial)) as book:
        date_format = book.add_format({"num_format": "yyyy-mm-dd"})
        sheet = book.add_worksheet(SETTINGS_SHEET, ExactWorksheet)
        write_row(sheet, 0, (KEY, VALUE), date_format)
        for row, cells in enumerate(settings_rows(settings), 1):
            write_row(sheet, row, cells, date_format)
        for table in written_tables(tables):
            _write_table(book.add_worksheet(table.name, ExactWorksheet), table, date_format)


def _write_table(sheet: Any, table: Table, date_format: Any) -> None:
    columns = {name: plain_column(values) for name, values in table.columns.items()}
    if table.spec.shape is Shape.POINT:
        shapes = [None] * len(table) if table.geometry is None else list(table.geometry)
        columns["lon"] = [None if shape is None else shape.x for shape in shapes]
        columns["lat"] = [None if shape is None else shape.y for shape in shapes]
    write_row(sheet, 0, columns, date_format)
    sheet.freeze_panes(1, 0)
    for row, cells in enumerate(zip(*columns.values(), strict=True), 1):
        write_row(sheet, row, cells, date_format)
