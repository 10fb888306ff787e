"""Which number does a cell say? Digits 0-9, a point, an exponent; never a thousands mark."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.fields import Field, Kind
from slackwater.catchment.wording import Trouble, needs

NUMERAL = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
ONLY_NUMERALS = re.compile(r"[0-9.eE+\- \n]*")
"""Text of these characters that ``float`` accepts is a numeral as `NUMERAL` says."""

NUMBER_TYPES = {int, float, type(None)}


def parse_numbers(
    field: Field, cells: Sequence[Any]
) -> tuple[NDArray[np.float64], dict[int, Trouble]]:
    """Read a column of numbers and hold it against the field's bounds.

    Returns
    -------
    values : (n,) NaN where a cell is empty or bad; -0 is 0.
    troubles : bad cells by position.
    """
    values, unread = _read(cells)
    troubles: dict[int, Trouble] = {
        position: ("not_a_number", needs(field) + "; digits 0-9, a point, an exponent")
        for position in unread
    }
    for code, bad in _bounds(field, values):
        for position in np.flatnonzero(bad):
            troubles.setdefault(int(position), (code, needs(field)))
    for empty in np.flatnonzero(np.isnan(values)).tolist():
        if cells[empty] is not None and not isinstance(cells[empty], str):  # NaN as a number
            troubles.setdefault(empty, ("not_finite", needs(field)))
    values[list(troubles)] = np.nan
    return values + 0.0, troubles


def _bounds(field: Field, values: NDArray[np.float64]) -> list[tuple[str, NDArray[np.bool_]]]:
    """Give (code, bad cells), the code that says most first; NaN is never bad here."""
    found = [("not_finite", np.isinf(values))]
    if field.least is not None:
        found.append(("negative", values < 0))
        found.append(("out_of_range", values < field.least))
    if field.above_zero:
        found.append(("not_above_zero", values == 0))
    if field.most is not None:
        found.append(("out_of_range", values > field.most))
    if field.kind is Kind.INTEGER:
        found.append(("not_whole", np.isfinite(values) & (values != np.rint(values))))
    return found


def _read(cells: Sequence[Any]) -> tuple[NDArray[np.float64], list[int]]:
    """Give the numbers, NaN where empty, and positions of cells that are no number."""
    types = set(map(type, cells))
    if types <= {str, type(None)}:
        texts = ["" if cell is None else cell for cell in cells]
        joined = "\n".join(texts)
        if ONLY_NUMERALS.fullmatch(joined) and joined.count("\n") == max(len(texts) - 1, 0):
            try:
                return np.array([float(text) if text else np.nan for text in texts]), []
            except ValueError:
                pass  # some cell is no number: find it below
    elif types <= NUMBER_TYPES:
        try:
            return np.array([np.nan if c is None else c for c in cells], np.float64), []
        except OverflowError:
            pass  # a whole number beyond what a float holds: find it below
    values = np.full(len(cells), np.nan)
    unread: list[int] = []
    for position, cell in enumerate(cells):
        number = _number(cell)
        if number is None:
            unread.append(position)
        else:
            values[position] = number
    return values, unread


def _number(cell: Any) -> float | None:
    """Give the cell's number, NaN where it is empty, None where it is no number."""
    text = "" if cell is None else cell.strip(" ") if isinstance(cell, str) else None
    if text is not None:
        if not text:
            return np.nan
        return float(text) if NUMERAL.fullmatch(text) else None
    if isinstance(cell, bool | np.bool_) or not isinstance(cell, int | float | np.number):
        return None
    try:
        return float(cell)
    except OverflowError:
        return np.inf
