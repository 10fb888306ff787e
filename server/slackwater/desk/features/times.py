"""Is this a moment or an interval? RFC 3339 date-times, a slash between, open ends as dots."""

from __future__ import annotations

import re
from datetime import datetime

from slackwater.errors import UsageError

MOMENT = re.compile(
    r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:(?P<second>\d\d)(?:\.\d+)?(?:[Zz]|[+-]\d\d:\d\d)", re.ASCII
)
OPEN = ("", "..")
HOW = (
    "datetime: give a moment like 2026-11-29T08:00:00Z, or two with a slash between, one of them "
    "left open by .."
)


def require_time(text: str) -> None:
    """Require a moment or an interval; nothing here has a time, so none is left out by it.

    Raises
    ------
    UsageError
        Where it is neither.
    """
    ends = text.split("/")
    if len(ends) == 1:
        _moment(text)
        return
    closed = [_moment(end) for end in ends if end not in OPEN]
    if len(ends) != 2 or not closed:
        raise UsageError(HOW)
    if len(closed) == 2 and closed[0] > closed[1]:
        raise UsageError("datetime: the interval ends before it begins")


def _moment(text: str) -> datetime:
    found = MOMENT.fullmatch(text)
    if found is None:
        raise UsageError(HOW)
    written = text.upper()
    if found["second"] == "60":  # a leap second, which RFC 3339 knows and the clock here does not
        written = written[:17] + "59" + written[19:]
    try:
        return datetime.fromisoformat(written)
    except ValueError:
        raise UsageError(HOW) from None
