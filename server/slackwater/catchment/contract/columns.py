"""Short ways to write a field down, so that the tables read as a list."""

from __future__ import annotations

from typing import Any

from slackwater.catchment.fields import Field, Kind


def key(name: str, meaning: str, **more: Any) -> Field:
    """Give an id column that every row needs."""
    return Field(name, Kind.ID, meaning, needed=True, **more)


def reference(name: str, refers_to: str, meaning: str, *, needed: bool = True) -> Field:
    """Give a column that names a row of another table."""
    return Field(name, Kind.ID, meaning, needed=needed, refers_to=refers_to)


def text(name: str, meaning: str, **more: Any) -> Field:
    """Give a free text column."""
    return Field(name, Kind.TEXT, meaning, **more)


def word(name: str, words: tuple[str, ...], meaning: str, **more: Any) -> Field:
    """Give a column with a closed list of words."""
    return Field(name, Kind.WORD, meaning, words=words, **more)


def number(name: str, unit: str, meaning: str, **more: Any) -> Field:
    """Give a number, 0 or more unless ``least=None``."""
    return Field(name, Kind.NUMBER, meaning, unit, **more)


def positive(name: str, unit: str, meaning: str, **more: Any) -> Field:
    """Give a number above 0."""
    return Field(name, Kind.NUMBER, meaning, unit, above_zero=True, **more)


def share(name: str, meaning: str, **more: Any) -> Field:
    """Give a number from 0 to 1."""
    return Field(name, Kind.NUMBER, meaning, "share", most=1.0, **more)


def whole(name: str, unit: str, meaning: str, **more: Any) -> Field:
    """Give a whole number."""
    return Field(name, Kind.INTEGER, meaning, unit, **more)


def date(name: str, meaning: str, **more: Any) -> Field:
    """Give an ISO date."""
    return Field(name, Kind.DATE, meaning, **more)


def day(name: str, meaning: str) -> Field:
    """Give a day of the year, MM-DD, that every row needs."""
    return Field(name, Kind.DAY, meaning, "MM-DD", needed=True)


BASIS = ("measured", "estimated", "assumed")
YES_NO = ("yes", "no")


def basis() -> Field:
    """Give how a row's numbers came about."""
    return word("basis", BASIS, "how the row's numbers came about", default="assumed")


def source() -> Field:
    """Give where a row comes from."""
    return text("source", "where it comes from; says so where it is a planning assumption")
