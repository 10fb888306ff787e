"""How do rows of the contract's tables come out of the database and go into it?"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Field, Kind
from slackwater.catchment.raw import RawTable
from slackwater.errors import UsageError
from slackwater.store.records import GEOMETRY
from slackwater.store.schema import CONTRACT, FURTHER, ROW
from slackwater.store.stored import raw_table

AT_ONCE = 500
"""Rows named in one statement; SQLite takes 32,766 values in one."""


def read_tables(connection: Connection) -> dict[str, RawTable]:
    """Read every table of the contract, empty ones too."""
    return {name: _read_table(connection, name) for name in TABLES}


def _read_table(connection: Connection, name: str) -> RawTable:
    table = CONTRACT[name]
    found = connection.execute(select(table).order_by(table.c[ROW])).all()
    columns = list(zip(*found, strict=True)) or [()] * len(table.columns)
    by_name: dict[str, Sequence[Any]] = dict(zip(table.columns.keys(), columns, strict=True))
    rows = by_name.pop(ROW)
    places = by_name.pop(GEOMETRY, None)
    further = [json.loads(text) for text in by_name.pop(FURTHER, ())]
    for column in dict.fromkeys(column for row in further for column in row):
        by_name[column] = [row.get(column) for row in further]
    return raw_table(name, rows, by_name, places)


def write_rows(connection: Connection, table: RawTable, touched: Collection[int]) -> None:
    """Bring rows to what the table now says: added, changed, or removed where it lacks them."""
    stored = CONTRACT[table.name]
    numbers = sorted(touched)
    for start in range(0, len(numbers), AT_ONCE):
        some = numbers[start : start + AT_ONCE]
        connection.execute(delete(stored).where(stored.c[ROW].in_(some)))
    wanted = set(touched)
    insert_rows(connection, table, [i for i, number in enumerate(table.rows) if number in wanted])


def insert_rows(
    connection: Connection, table: RawTable, positions: Sequence[int] | None = None
) -> None:
    """Add rows of a table, all of them where no positions are given."""
    positions = range(len(table.rows)) if positions is None else positions
    if not positions:
        return
    spec = TABLES[table.name]
    further = [name for name in table.cells if name not in spec.by_name]
    own = {f.name: (f, table.cells[f.name]) for f in spec.fields if f.name in table.cells}
    values: list[dict[str, Any]] = []
    for i in positions:
        row: dict[str, Any] = {
            name: _sound(spec.name, described, cells[i]) for name, (described, cells) in own.items()
        }
        row[ROW] = table.rows[i]
        if GEOMETRY in CONTRACT[table.name].c:
            row[GEOMETRY] = None if table.geometry is None else table.geometry[i]
        if FURTHER in CONTRACT[table.name].c:
            row[FURTHER] = _further_text({name: table.cells[name][i] for name in further})
        values.append(row)
    connection.execute(insert(CONTRACT[table.name]), values)


def _further_text(cells: Mapping[str, Any]) -> str:
    return json.dumps({name: cell for name, cell in cells.items() if cell is not None})


def _sound(table: str, described: Field, cell: Any) -> Any:
    """Refuse a cell of another type than its column: SQLite would keep it as it is.

    Raises
    ------
    UsageError
        Where whoever checked the edit let it through.
    """
    kind = float if described.is_number else date if described.kind is Kind.DATE else str
    if cell is not None and type(cell) is not kind:
        raise UsageError(f"{table}, {described.name}: {cell!r} was not checked")
    return cell
