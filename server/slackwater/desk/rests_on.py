"""What else do an offtake's numbers rest on? Its reach and gauge, the fish, the screen, the prices.

Beside the offtake's own inputs: rows of other tables, each cell with its unit and its source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.fields import Field
from slackwater.catchment.table import Table
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visibility import Viewer, of_contract, sees

KEPT_OUT = ("basis", "source", "observed_on")
"""Columns that tell of the others; they stand beside each."""


def rests_on(evaluation: Evaluation, offtake: int, viewer: Viewer) -> list[dict[str, Any]]:
    """Give the rows, each with its filled cells that the viewer may see.

    ``default_used`` is true where the cell was empty and the value is what an empty cell means.
    """
    rows = [
        {
            "table": table.name,
            "key": key,
            "name": name,
            "source": _text(table, "source", row),
            "inputs": list(_inputs(table, row, viewer)),
        }
        for table, key, name, row in _rows(evaluation, offtake)
    ]
    return [each for each in rows if each["inputs"]]


def _rows(evaluation: Evaluation, offtake: int) -> Iterator[tuple[Table, str, str, int]]:
    """Give (table, key, name, row) of all that goes into this offtake's numbers."""
    catchment = evaluation.catchment
    reaches, gauges, guilds = (catchment.table(t) for t in ("reaches", "gauges", "guilds"))
    reach = int(catchment.reach_index[offtake])
    gauge_id = str(reaches.text("gauge_id")[reach])
    named = [(reaches, reach), (gauges, gauges.index[gauge_id])]
    bred = evaluation.river.births.sum(axis=1) > 0
    named += [(guilds, int(guild)) for guild in np.flatnonzero(bred)]
    option = int(evaluation.best_option[offtake])
    if option >= 0:
        named.append((catchment.table("options"), option))
    for table, row in named:
        yield table, table.keys[row], _text(table, "name", row), row
    if option >= 0:
        yield from _keyed(
            catchment, "efficacy", "option_id", catchment.table("options").keys[option]
        )
    yield from _keyed(catchment, "prices")


def _keyed(
    catchment: Catchment, name: str, column: str = "", wanted: str = ""
) -> Iterator[tuple[Table, str, str, int]]:
    """Give the rows of a table, or those with a value in a column."""
    table = catchment.table(name)
    for row in range(len(table)):
        if not column or table.text(column)[row] == wanted:
            yield table, table.keys[row], "", row


def _inputs(table: Table, row: int, viewer: Viewer) -> Iterator[dict[str, Any]]:
    for field in table.spec.fields:
        if field.name in (*KEPT_OUT, *table.spec.key, "name"):
            continue
        value = _plain(table.columns[field.name][row])
        if value is None or not sees(viewer, of_contract(table.name, field.name)):
            continue
        yield {
            "column": field.name,
            "meaning": field.meaning,
            "unit": field.unit,
            "value": value,
            "default_used": _is_default(table, field, row),
        }


def _is_default(table: Table, field: Field, row: int) -> bool:
    return field.name in table.defaulted and bool(table.defaulted[field.name][row])


def _text(table: Table, column: str, row: int) -> str:
    return str(table.text(column)[row]) if column in table.columns else ""


def _plain(cell: Any) -> str | float | None:
    """Give a cell as a JSON value, None where it is empty."""
    if isinstance(cell, str):
        return cell or None
    number = float(cell)
    return None if np.isnan(number) else number
