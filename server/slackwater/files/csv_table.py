"""What does a CSV file say? Text cells by line; nothing is guessed."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path

from slackwater.catchment.fields import TableSpec
from slackwater.catchment.raw import RawTable
from slackwater.errors import InputFaults
from slackwater.files.formula_marks import unmarked
from slackwater.files.grid import Line, table_from_grid
from slackwater.files.reading import Reading, finding


def read_csv_table(path: Path, spec: TableSpec, reading: Reading) -> RawTable:
    """Read one table from a CSV file with commas; every cell is text, or None where empty.

    The apostrophe that keeps a spreadsheet from evaluating a cell is no part of it.

    A row's number is the physical line on which it starts, the header's being 1.

    Raises
    ------
    InputFaults
        Where the bytes do not fit the encoding or the quotes do not close.
    """
    text = decoded(path.read_bytes(), spec.name, reading.encoding(spec.name))
    return table_from_grid(spec, path.name, _lines(text, spec), reading)


def decoded(data: bytes, table: str, encoding: str) -> str:
    """Decode a text file, UTF-8 (with or without a mark) where no encoding is named.

    Raises
    ------
    InputFaults
        ``encoding``, with the line of the first byte that does not fit.
    """
    name = encoding or "utf-8"
    if name.lower().replace("_", "-") in ("utf-8", "utf8"):
        name = "utf-8-sig"
    try:
        return data.decode(name)
    except UnicodeError as error:
        start = getattr(error, "start", 0)
        line = len(data[:start].splitlines()) if data[:start] else 1
        line += data[:start].endswith((b"\n", b"\r"))
        told = name.removesuffix("-sig")
        remedy = (
            f"not {told} text; save it as UTF-8 or name its encoding in the settings, "
            f'[encoding] {table} = "cp1252"'
        )
        value = data[start : start + 1].hex()
        fault = finding(table, "encoding", remedy, row=line, value=f"byte {value}")
        raise InputFaults([fault]) from error


def _lines(text: str, spec: TableSpec) -> Iterator[Line]:
    # strict: without it an unclosed quote would swallow the rest of the file in silence.
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    is_header = True
    while True:
        row = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            remedy = f"cannot be split into cells ({error}); check the double quotes"
            fault = finding(spec.name, "unreadable", remedy, row=row)
            raise InputFaults([fault]) from error
        if is_header and cells:
            _require_commas(cells, spec, row)
            is_header = False
        yield row, [unmarked(cell) for cell in cells]


def _require_commas(header: list[str], spec: TableSpec, row: int) -> None:
    if len(header) > 1 or len(spec.fields) == 1:
        return
    for mark, told in ((";", "semicolons"), ("\t", "tabs")):
        if mark in header[0]:
            remedy = f"columns are divided by {told}; save the file with commas"
            raise InputFaults(
                [finding(spec.name, "unreadable", remedy, row=row, value=header[0][:200])]
            )
