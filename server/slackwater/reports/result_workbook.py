"""The result workbook: sheets with a head, frozen, numbers in full, text never a formula."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import xlsxwriter

from slackwater.sheet_cells import ExactWorksheet, write_row

MOST_ROWS = 1_048_575
"""Below the head."""
MOST_LETTERS = 32_767
"""A cell holds no more."""
WIDEST, NARROWEST, LOOKED_AT = 48, 9, 200
"""Widths of columns in letters, from the head and the first rows."""


@dataclass(frozen=True)
class Sheet:
    """One sheet.

    Attributes
    ----------
    heads : names of the columns with their units.
    rows : cells as str, int, float, date or None.
    wrapped : whether long text breaks over lines.
    """

    name: str
    heads: tuple[str, ...]
    rows: Sequence[Sequence[Any]]
    wrapped: bool = False


def workbook_bytes(sheets: Sequence[Sheet]) -> bytes:
    """Give a workbook as a file; rows past a sheet's end are left out, which `cut` tells."""
    file = BytesIO()
    with closing(xlsxwriter.Workbook(file, {"in_memory": True})) as book:
        marks = {
            "date": book.add_format({"num_format": "yyyy-mm-dd"}),
            "head": book.add_format(
                {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}
            ),
            "text": book.add_format({"text_wrap": True, "valign": "top"}),
        }
        for sheet in sheets:
            _write(book.add_worksheet(sheet.name, ExactWorksheet), sheet, marks)
    return file.getvalue()


def cut(sheet: Sheet) -> int:
    """Count the rows that find no room in a sheet."""
    return max(0, len(sheet.rows) - MOST_ROWS)


def json_rows(value: Mapping[str, Any] | None) -> list[list[str]]:
    """Give JSON a line a row; a line longer than a cell goes on in the cells to its right."""
    lines = [] if value is None else json.dumps(value, indent=1, ensure_ascii=False).split("\n")
    return [
        [line[at : at + MOST_LETTERS] for at in range(0, max(1, len(line)), MOST_LETTERS)]
        for line in lines
    ]


def _write(into: Any, sheet: Sheet, marks: Mapping[str, Any]) -> None:
    for column, head in enumerate(sheet.heads):
        into.write_string(0, column, head, marks["head"])
        into.set_column(
            column, column, _width(sheet, column), marks["text"] if sheet.wrapped else None
        )
    into.freeze_panes(1, 0)
    for row, cells in enumerate(sheet.rows[:MOST_ROWS], 1):
        write_row(into, row, cells, marks["date"])


def _width(sheet: Sheet, column: int) -> int:
    """Give a column room for its head, broken over lines, and for its first cells."""
    words = max((len(word) for word in sheet.heads[column].split()), default=0)
    cells = (row[column] for row in sheet.rows[:LOOKED_AT] if column < len(row))
    longest = max((len(str(cell)) for cell in cells if cell is not None), default=0)
    return min(WIDEST, max(NARROWEST, words + 2, longest + 1))
