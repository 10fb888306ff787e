"""Is this a moment, a date or an interval? As RFC 3339 writes them; open ends are dots or nothing.

OGC 17-069r4 asks for date-times alone (/req/core/fc-time-definition); GIS and people also write
dates, which here are whole days of UTC.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, time

from slackwater.errors import UsageError

DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
MOMENT = re.compile(
    r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:(?P<second>\d\d)(?:\.\d+)?(?:[Zz]|[+-]\d\d:\d\d)", re.ASCII
)
OPEN = ("", "..")
HOW = (
    "datetime: give a moment like 2026-11-29T08:00:00Z, a date like 2026-11-29, or two of them "
    "with a slash between, one of which may be left open by .."
)
BACKWARDS = "datetime: the interval ends before it begins"


def require_time(text: str) -> None:
    """Require a moment, a date or an interval; nothing here has a time, so none is left out by it.

    Raises
    ------
    UsageError
        Where it is neither.
    """
    begins, *ends = text.split("/")
    if not ends:
        _moment(begins, time.min)
        return
    if len(ends) > 1 or (begins in OPEN and ends[0] in OPEN):
        raise UsageError(HOW)
    first = None if begins in OPEN else _moment(begins, time.min)
    last = None if ends[0] in OPEN else _moment(ends[0], time.max)
    if first and last and first > last:
        raise UsageError(BACKWARDS)


def _moment(text: str, of_day: time) -> datetime:
    """Give the moment that is written; of a date the first or the last there is in it."""
    found = MOMENT.fullmatch(text)
    if found is None and not DATE.fullmatch(text):
        raise UsageError(HOW)
    written = text.upper()
    if found and found["second"] == "60":  # a leap second, which the clock here does not know
        written = written[:17] + "59" + written[19:]
    try:
        read = datetime.fromisoformat(written)
    except ValueError:
        raise UsageError(HOW) from None
    return read if found else datetime.combine(read, of_day, UTC)
