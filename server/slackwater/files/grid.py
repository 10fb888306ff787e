"""How do lines of cells under a header become a table? Shared by CSV and sheets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from slackwater.catchment.fields import TableSpec
from slackwater.catchment.raw import RawTable
from slackwater.errors import Finding, InputFaults
from slackwater.files.points import coordinate_columns, points_from_cells
from slackwater.files.reading import Reading, finding

Line = tuple[int, Sequence[Any]]

MOST_COLUMNS = 1_000
"""Every row is as wide as the header: a header without end would make a short file endless."""


def table_from_grid(
    spec: TableSpec, found_in: str, lines: Iterable[Line], reading: Reading
) -> RawTable:
    """Make a table of numbered lines, the first that is not blank being the header.

    Blank lines are skipped. A cell beyond the header or under an empty name is a fault
    ``ragged_row``, a name that stands twice a fault ``duplicate_column`` (the first one counts).

    Raises
    ------
    InputFaults
        Where there is no header at all, or one without end.
    """
    filled = _without_blank(lines)
    first = next(filled, None)
    if first is None:
        remedy = f"{found_in} is empty; its first line must name the columns"
        raise InputFaults([finding(spec.name, "unreadable", remedy)])
    if len(first[1]) > MOST_COLUMNS:
        raise InputFaults([too_many_columns(spec, found_in, len(first[1]))])
    names = ["" if name is None else str(name).strip() for name in first[1]]
    kept = _kept_columns(spec, names, first[0], reading)
    rows: list[int] = []
    body: list[Sequence[Any]] = []
    for row, cells in filled:
        rows.append(row)
        fits = len(cells) == len(names) == len(kept)
        body.append(cells if fits else _fitted(spec, names, row, cells, reading))
    columns = list(zip(*body, strict=True)) if body else [()] * len(names)
    cells_by_name: dict[str, Sequence[Any]] = {
        names[at]: tuple([None if cell == "" else cell for cell in columns[at]]) for at in kept
    }
    return _with_points(spec, found_in, rows, cells_by_name, reading)


def too_many_columns(spec: TableSpec, found_in: str, count: int) -> Finding:
    """Give the fault of a table that is too wide to be read."""
    remedy = (
        f"{found_in} has {count:,} columns, at most {MOST_COLUMNS:,} can be read; "
        "leave out what is not needed"
    )
    return finding(spec.name, "too_many_columns", remedy)


def _without_blank(lines: Iterable[Line]) -> Iterator[Line]:
    for row, cells in lines:
        if any(map(_says, cells)):
            yield row, cells


def _says(cell: Any) -> bool:
    return cell is not None and (not isinstance(cell, str) or bool(cell.strip()))


def _kept_columns(spec: TableSpec, names: list[str], row: int, reading: Reading) -> list[int]:
    kept: dict[str, int] = {}
    for position, name in enumerate(names):
        if name and name in kept:
            remedy = "name each column once"
            reading.faults.append(
                finding(spec.name, "duplicate_column", remedy, row=row, column=name, value=name)
            )
        elif name:
            kept[name] = position
    return list(kept.values())


def _fitted(
    spec: TableSpec, names: list[str], row: int, cells: Sequence[Any], reading: Reading
) -> list[Any]:
    """Give the row as wide as the header."""
    width = len(names)
    fitted = [*cells[:width], *[None] * (width - len(cells))]
    # A cell too many counts even when empty: a decimal comma pushes the others to the right.
    extra = [cell for cell in cells[width:] if cell is not None]
    extra += [cell for name, cell in zip(names, fitted, strict=True) if not name and _says(cell)]
    if extra:
        remedy = (
            f"{len(extra)} cell(s) without a column name; "
            "put text that holds a comma in double quotes"
        )
        value = ",".join(str(cell) for cell in extra)
        reading.faults.append(finding(spec.name, "ragged_row", remedy, row=row, value=value))
    return fitted


def _with_points(
    spec: TableSpec,
    found_in: str,
    rows: list[int],
    cells: dict[str, Sequence[Any]],
    reading: Reading,
) -> RawTable:
    pair = coordinate_columns(spec, list(cells), reading)
    if pair is None:
        return RawTable(spec.name, found_in, tuple(rows), cells)
    geometry, crs = points_from_cells(spec, rows, cells, pair, reading)
    others = {name: column for name, column in cells.items() if name not in pair}
    return RawTable(spec.name, found_in, tuple(rows), others, geometry, crs)
