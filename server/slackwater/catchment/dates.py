"""Which day does a cell say? Dates as YYYY-MM-DD and days of the year as MM-DD."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.fields import Field
from slackwater.catchment.wording import Trouble, needs, plain_text

DATE = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")
ONLY_DATES = re.compile("(?:[0-9]{4}-[0-9]{2}-[0-9]{2}\n)*")
DAY = re.compile("[0-9]{2}-[0-9]{2}")
FIRST, LAST = date(1800, 1, 1), date(2199, 12, 31)
"""A day outside is a slip of the pen, and would stretch every daily axis over centuries."""

COLUMNS_REMEMBERED = 4
SPAN = f"between {FIRST} and {LAST}"


def parse_dates(
    field: Field, cells: Sequence[Any]
) -> tuple[NDArray[np.datetime64], dict[int, Trouble]]:
    """Read a column of dates.

    Returns
    -------
    values : (n,) datetime64[D], NaT where a cell is empty or bad.
    troubles : bad cells by position.
    """
    fast = _all_at_once(tuple(cells))
    if fast is not None:
        return fast.copy(), {}
    values = np.full(len(cells), np.datetime64("NaT"), "datetime64[D]")
    troubles: dict[int, Trouble] = {}
    for position, cell in enumerate(cells):
        if cell is None or (isinstance(cell, str) and not cell.strip(" ")):
            continue
        day = _day_of(cell)
        if day is None:
            troubles[position] = ("bad_date", f"{needs(field)}, {SPAN}")
        else:
            values[position] = np.datetime64(day, "D")
    return values, troubles


@lru_cache(COLUMNS_REMEMBERED)
def _all_at_once(cells: tuple[Any, ...]) -> NDArray[np.datetime64] | None:
    """Give the whole column where every cell is a date as it should be written, else None.

    Remembered, for an edit leaves most columns as they are.
    """
    types = set(map(type, cells))
    as_written = types == {str} and ONLY_DATES.fullmatch("\n".join(cells) + "\n")
    if not as_written and types != {date}:
        return None
    try:
        values = np.array(cells, "datetime64[D]")
    except ValueError:
        return None
    if len(values) != len(cells) or values.min() < FIRST or values.max() > LAST:
        return None
    return values


def _day_of(cell: Any) -> date | None:
    """Give the day of one cell, None where it says none."""
    if isinstance(cell, datetime):
        day: date | None = cell.date() if cell.time() == time() else None
    elif isinstance(cell, date):
        day = cell
    elif isinstance(cell, str) and DATE.fullmatch(cell.strip(" ")):
        try:
            day = date.fromisoformat(cell.strip(" "))
        except ValueError:
            day = None
    else:
        day = None
    return day if day is not None and FIRST <= day <= LAST else None


def parse_days(field: Field, cells: Sequence[Any]) -> tuple[list[str], dict[int, Trouble]]:
    """Read a column of days of the year; 02-29 is one, "" where a cell is empty or bad."""
    days: list[str] = []
    troubles: dict[int, Trouble] = {}
    for position, cell in enumerate(cells):
        text = plain_text(cell).strip(" ")
        if text and not _is_day(text):
            troubles[position] = ("bad_day", f"{needs(field)}, as text")
            text = ""
        days.append(text)
    return days, troubles


def _is_day(text: str) -> bool:
    if not DAY.fullmatch(text):
        return False
    try:
        date.fromisoformat(f"2000-{text}")
    except ValueError:
        return False
    return True
