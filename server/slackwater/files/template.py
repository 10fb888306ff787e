"""Where does an agency start typing? An empty workbook that explains itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import xlsxwriter

from slackwater.catchment.contract import CRITERION, RANGES, SETTINGS, TABLES
from slackwater.catchment.fields import Field, Kind, Shape, TableSpec
from slackwater.errors import UsageError
from slackwater.files import starter_library
from slackwater.files.settings_sheet import KEY, VALUE
from slackwater.files.unfinished import finished
from slackwater.files.workbook import SETTINGS_SHEET
from slackwater.sheet_cells import write_row

ABOUT = ("table", "column", "unit", "needed", "default", "meaning", "words")
PREPARED_ROWS = 5000
"""Rows below a header that have drop-downs and text format."""

NOTES = (
    "Each sheet named after a table takes its rows from row 2 on; yellow columns are needed.",
    "Leave a cell empty where nothing is known: this sheet says what that means.",
    "Sheets whose names start with library_ or criteria_ are not read: copy from them.",
    "A sheet cannot hold lines or areas: without them give length_m of each reach, and reach_id "
    "and chainage_m of each offtake; or keep reaches, roads and land in a GIS file.",
    "Ids and days of the year are text: leading zeros stay, 10-01 does not become a date.",
)
COORDINATES = (
    Field("lon", Kind.NUMBER, "longitude in WGS84, east positive", "degrees", needed=True),
    Field("lat", Kind.NUMBER, "latitude in WGS84, north positive", "degrees", needed=True),
)
BY_YEAR = {
    "year_weights": "weight of that season-year, above 0",
    "allocation": "share of unmetered draw taken that season-year, 0 to 1",
}


def write_template(path: Path) -> None:
    """Write the empty workbook: a sheet a table, what each column means, published values.

    Raises
    ------
    UsageError
        Where the path does not end in ``.xlsx`` or a file is there already.
    """
    path = Path(path)
    if path.suffix.lower() != ".xlsx":
        raise UsageError(f"the template is a workbook: give a name ending in .xlsx, not {path}")
    if path.exists():
        raise UsageError(f"{path} is there already; give another name")
    with finished(path) as partial, closing(xlsxwriter.Workbook(partial)) as book:
        marks = _Marks(book)
        _write_about(book.add_worksheet("about"), marks)
        _write_settings(book.add_worksheet(SETTINGS_SHEET), marks)
        for spec in TABLES.values():
            _write_data_sheet(book.add_worksheet(spec.name), spec, marks)
        for name, columns, rows in _libraries():
            _write_library(book.add_worksheet(name), columns, rows, marks)


class _Marks:
    """The formats of one workbook."""

    def __init__(self, book: Any) -> None:
        self.header = book.add_format({"bold": True, "bottom": 1})
        self.needed = book.add_format({"bold": True, "bottom": 1, "bg_color": "#FFE699"})
        self.text = book.add_format({"num_format": "@"})
        self.date = book.add_format({"num_format": "yyyy-mm-dd"})


def _columns(spec: TableSpec) -> tuple[Field, ...]:
    return spec.fields + (COORDINATES if spec.shape is Shape.POINT else ())


def _write_about(sheet: Any, marks: _Marks) -> None:
    for row, note in enumerate(NOTES):
        sheet.write_string(row, 0, note)
    top = len(NOTES) + 1
    for column, title in enumerate(ABOUT):
        sheet.write_string(top, column, title, marks.header)
    for row, cells in enumerate(_about_rows(), top + 1):
        write_row(sheet, row, cells, marks.date)
    for column, width in enumerate((12, 30, 14, 8, 24, 60, 60)):
        sheet.set_column(column, column, width)


def _about_rows() -> Iterator[Sequence[str | None]]:
    for spec in TABLES.values():
        yield spec.name, None, None, "yes" if spec.needed else None, None, spec.meaning, None
        for field in _columns(spec):
            yield _about_row(spec.name, field)
    for field in SETTINGS:
        yield _about_row(SETTINGS_SHEET, field)
    for name, meaning in BY_YEAR.items():
        yield SETTINGS_SHEET, f"{name}.2019", None, None, "1", meaning, None
    for name in RANGES:
        unit = "m" if name == "depth_m" else "multiple"
        for end in ("low", "high"):
            meaning = f"{end} end of the range of {name}"
            yield SETTINGS_SHEET, f"ranges.{name}.{end}", unit, None, None, meaning, None
    for field in CRITERION:
        yield _about_row(SETTINGS_SHEET, field, "criterion.1.")
    meaning = "name of that column in your own file"
    yield SETTINGS_SHEET, "columns.offtakes.capacity_m3s", None, None, None, meaning, None


def _about_row(table: str, field: Field, prefix: str = "") -> Sequence[str | None]:
    default = field.default_note or _as_default(field.default)
    needed = "yes" if field.needed else None
    return (table, prefix + field.name, field.unit or None, needed, default or None,
            field.meaning, ", ".join(field.words) or None)  # fmt: skip


def _as_default(default: float | str | None) -> str:
    if default is None:
        return ""
    return default if isinstance(default, str) else f"{default:g}"


def _write_settings(sheet: Any, marks: _Marks) -> None:
    """Write every setting with one value; an empty value means the default."""
    sheet.write_string(0, 0, KEY, marks.header)
    sheet.write_string(0, 1, VALUE, marks.header)
    for row, field in enumerate(SETTINGS, 1):
        sheet.write_string(row, 0, field.name)
        sheet.write_comment(row, 0, _comment(field))
        if field.words:
            _add_words(sheet, row, row, 1, field.words)
    sheet.set_column(0, 0, 44)
    sheet.set_column(1, 1, 32)
    sheet.freeze_panes(1, 0)


def _write_data_sheet(sheet: Any, spec: TableSpec, marks: _Marks) -> None:
    for column, field in enumerate(_columns(spec)):
        sheet.write_string(0, column, field.name, marks.needed if field.needed else marks.header)
        sheet.write_comment(0, column, _comment(field))
        is_text = field.kind in (Kind.ID, Kind.TEXT, Kind.WORD, Kind.WORDS, Kind.DAY)
        is_date = field.kind is Kind.DATE
        form = marks.text if is_text else marks.date if is_date else None
        sheet.set_column(column, column, max(10, len(field.name) + 2), form)
        if field.words and field.kind is Kind.WORD:
            _add_words(sheet, 1, PREPARED_ROWS, column, field.words)
    sheet.freeze_panes(1, 0)


def _comment(field: Field) -> str:
    default = field.default_note or _as_default(field.default)
    parts = [field.meaning + (f" [{field.unit}]" if field.unit else "")]
    parts += ["needed"] if field.needed else [f"empty means: {default}"] if default else []
    return "\n".join(parts)


def _add_words(sheet: Any, first: int, last: int, column: int, words: Sequence[str]) -> None:
    rule = {"validate": "list", "source": list(words),
            "error_title": "Unknown word", "error_message": "Choose one of the list."}  # fmt: skip
    sheet.data_validation(first, column, last, column, rule)


def _libraries() -> Iterator[tuple[str, Sequence[str], Sequence[starter_library.Row]]]:
    for name, rows in (("guilds", starter_library.GUILDS), ("options", starter_library.OPTIONS),
                       ("efficacy", starter_library.EFFICACY)):  # fmt: skip
        yield f"library_{name}", list(TABLES[name].by_name), rows
    yield "criteria_library", starter_library.CRITERIA_COLUMNS, starter_library.CRITERIA


def _write_library(
    sheet: Any, columns: Sequence[str], rows: Sequence[starter_library.Row], marks: _Marks
) -> None:
    for column, name in enumerate(columns):
        sheet.write_string(0, column, name, marks.header)
        sheet.set_column(column, column, 70 if name == "source" else max(10, len(name) + 2))
    for number, row in enumerate(rows, 1):
        write_row(sheet, number, [row.get(name) for name in columns], marks.date)
    sheet.freeze_panes(1, 0)
