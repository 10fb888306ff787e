"""How is a cell of a table written? Plain values, numbers in their shortest form."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.contract import TABLES
from slackwater.catchment.table import Table

LARGEST_WHOLE = 1e15
"""Below it a whole number is written without a point and stays exact."""


def written_tables(tables: Mapping[str, Table]) -> Iterator[Table]:
    """Give the tables worth writing, in the contract's order: needed ones and those with rows."""
    for name, spec in TABLES.items():
        if name in tables and (spec.needed or len(tables[name])):
            yield tables[name]


def plain_column(values: NDArray[np.generic]) -> list[Any]:
    """Give a column as str, int, float, date or None.

    Whole numbers are int; empty cells (NaN, NaT, "") are None.
    """
    if values.dtype.kind == "f":
        return [_plain_number(value) for value in values.tolist()]
    return [None if value == "" else value for value in values.tolist()]


def _plain_number(value: float) -> int | float | None:
    if math.isnan(value):
        return None
    return int(value) if value.is_integer() and abs(value) < LARGEST_WHOLE else value
