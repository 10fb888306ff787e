"""How does a cell get into a sheet? Numbers with every digit, text never as a formula or a link."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from xlsxwriter.worksheet import Worksheet

FIRST_SHEET_DATE = date(1900, 3, 1)
"""Spreadsheets count days before it differently, so earlier ones are written as text."""


class ExactWorksheet(Worksheet):  # type: ignore[misc]
    """A sheet whose numbers keep every digit; the library writes 16, some need 17."""

    def _xml_number_element(
        self, number: float, attributes: Sequence[tuple[str, Any]] = ()
    ) -> None:
        marks = "".join(f' {name}="{value}"' for name, value in attributes)
        self.fh.write(f"<c{marks}><v>{float(number)!r}</v></c>")


def write_row(sheet: Any, row: int, cells: Iterable[Any], date_format: Any) -> None:
    """Write cells by their type, text never as a formula or a link; None leaves a cell empty."""
    for column, cell in enumerate(cells):
        if isinstance(cell, date) and cell >= FIRST_SHEET_DATE:
            sheet.write_datetime(row, column, cell, date_format)
        elif isinstance(cell, int | float):
            sheet.write_number(row, column, cell)
        elif cell is not None:
            sheet.write_string(row, column, str(cell))
