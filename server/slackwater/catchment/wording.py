"""What would be right? Plain words for what a field holds, and plain text of a cell."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from slackwater.catchment.fields import Field, Kind

Trouble = tuple[str, str]
"""(code, remedy) of a bad cell."""


def needs(field: Field) -> str:
    """Say what a cell of this field may hold."""
    if field.is_number:
        return _number_needs(field)
    words = ", ".join(field.words)
    return {
        Kind.WORD: f"one of {words}",
        Kind.WORDS: f"words parted by semicolons, out of {words}",
        Kind.DATE: "a date as YYYY-MM-DD",
        Kind.DAY: "a day of the year as MM-DD",
        Kind.ID: f"{field.meaning}, an id of at most 200 characters",
        Kind.TEXT: field.meaning,
    }[field.kind]


def _number_needs(field: Field) -> str:
    noun = "a whole number" if field.kind is Kind.INTEGER else "a number"
    unit = f" ({field.unit})" if field.unit not in ("", "-", "share") else ""
    if field.above_zero:
        return f"{noun} above 0" + (f", at most {field.most:g}" if field.most else "") + unit
    if field.least is None:
        return noun + unit
    if field.most is not None:
        return f"{noun} from {field.least:g} to {field.most:g}{unit}"
    return f"{noun} of {field.least:g} or more{unit}"


def plain_text(cell: Any) -> str:
    """Give a cell as text: whole floats without their point, dates as ISO, None as ""."""
    if isinstance(cell, datetime) and cell.time() == time():
        cell = cell.date()
    if isinstance(cell, float) and cell.is_integer():
        cell = int(cell)
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, date):
        return cell.isoformat()
    return "" if cell is None else str(cell)
