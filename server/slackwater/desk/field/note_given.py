"""Is what a phone sent a note? Each of its parts is looked at; what is wrong is said in words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from slackwater.desk.field.forms import FORM_OF
from slackwater.desk.field.typed import MOST_CHARACTERS, MOST_OF_WORD, told, understood
from slackwater.desk.written import one_line
from slackwater.errors import UsageError
from slackwater.store.field_records import Note

MOST_OF_PHONE = 64
NOBODY_NAMED = "field"
"""Who writes where there are no accounts and nobody said."""
FIRST_YEAR, LAST_YEAR = 1970, 2199
"""A phone whose clock was lost begins with 1970: its notes are worth keeping all the same."""


def note_of(given: Any, by: str) -> Note:
    """Give a note from what was sent.

    Parameters
    ----------
    by : whoever sends it, where that is known here; else the note says who wrote it.

    Raises
    ------
    UsageError
        With what is wrong, in words for whoever wrote it.
    """
    if not isinstance(given, Mapping):
        raise UsageError("a note is given as its parts by name")
    field = _text(given, "field", MOST_OF_WORD)
    form = FORM_OF.get(field)
    if form is None:
        raise UsageError(f"no field of the form is called {told(field)}")
    typed = _text(given, "typed", MOST_CHARACTERS)
    unit = _text(given, "unit", MOST_OF_WORD)
    value = understood(form, typed, unit, given.get("value"))
    note_id, after = _id(given, "id"), _id(given, "after", needed=False)
    if after == note_id:
        raise UsageError("a note cannot follow upon itself")
    return Note(
        id=note_id,
        run_id=_id(given, "run_id"),
        code=_line(given, "code", MOST_OF_WORD),
        field=field,
        typed=typed,
        unit=unit,
        value=value,
        at=_time(given),
        phone=_line(given, "phone", MOST_OF_PHONE),
        after=after,
        by=by or _line(given, "by", MOST_OF_WORD, needed=False) or NOBODY_NAMED,
    )


def id_told(given: Any) -> str:
    """Give the id of what was sent, as far as it can be told; "" where there is none."""
    said = given.get("id") if isinstance(given, Mapping) else None
    return said[:60] if isinstance(said, str) and said.isprintable() else ""


def _text(given: Mapping[str, Any], name: str, most: int) -> str:
    said = given.get(name)
    if said is None:
        return ""
    if not isinstance(said, str):
        raise UsageError(f"{name} is a text, not {told(said)}")
    if len(said) > most:
        raise UsageError(f"{name} has {len(said)} characters; at most {most} are kept")
    if any("\ud800" <= each <= "\udfff" for each in said):
        raise UsageError(f"{name} holds half a character, which no database keeps")
    return said


def _line(given: Mapping[str, Any], name: str, most: int, *, needed: bool = True) -> str:
    return one_line(_text(given, name, most), f"{name} of a note", most=most, needed=needed)


def _id(given: Mapping[str, Any], name: str, *, needed: bool = True) -> str:
    said = _text(given, name, MOST_OF_WORD)
    if not said and not needed:
        return ""
    try:
        return str(UUID(said))
    except ValueError:
        raise UsageError(f"{name} of a note is a UUID, not {told(said)}") from None


def _time(given: Mapping[str, Any]) -> str:
    """Give when it was written, with the offset the phone's clock had."""
    said = _text(given, "at", MOST_OF_WORD)
    try:
        at = datetime.fromisoformat(said)
    except ValueError:
        raise UsageError(f"at is a time such as 2026-03-01T09:30:00Z, not {told(said)}") from None
    if at.tzinfo is None or not FIRST_YEAR <= at.year <= LAST_YEAR:
        raise UsageError(f"at is a time of our days with its zone, not {told(said)}")
    return at.isoformat(timespec="milliseconds")
