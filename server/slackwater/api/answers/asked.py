"""What may a request hold? Texts without control characters, finite numbers, ids of its own."""

from __future__ import annotations

import math
import re
from typing import Annotated, Any
from uuid import UUID

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

MOST_WORDS = 2_000
MOST_NAME = 500
CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
"""Control characters but tab and line end, and halves of a surrogate pair."""


class Asked(BaseModel):
    """What is asked holds what it names and nothing else."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def asked_like(example: dict[str, Any]) -> ConfigDict:
    """Give the configuration of what is asked, with an example for the description."""
    return ConfigDict(extra="forbid", frozen=True, json_schema_extra={"examples": [example]})


def _finite(value: Any) -> Any:
    """Refuse numbers that are not finite and texts no file can hold, anywhere in a value."""
    left = [value]
    while left:
        each = left.pop()
        if isinstance(each, float) and not math.isfinite(each):
            raise ValueError("numbers must be finite")
        if isinstance(each, str) and CONTROL.search(each):
            raise ValueError("take out control characters")
        if isinstance(each, dict):
            left += [*each, *each.values()]
        elif isinstance(each, list):
            left += each
    return value


def _words(text: str) -> str:
    """Take blanks off the ends; refuse control characters other than line ends."""
    if CONTROL.search(text):
        raise ValueError("take out control characters")
    return text.strip()


def _said(text: str) -> str:
    if not text.strip():
        raise ValueError("say it in words; it must not be empty")
    return _words(text)


def _one_line(text: str) -> str:
    if CONTROL.search(text) or "\n" in text or "\t" in text:
        raise ValueError("take out control characters and line ends")
    return text


def _id(text: str) -> str:
    """Bring a UUID to its one form."""
    return str(UUID(text))


Id = Annotated[str, Field(max_length=50), AfterValidator(_id)]
"""A UUID that its maker chose."""
Words = Annotated[str, Field(max_length=MOST_WORDS), AfterValidator(_words)]
Said = Annotated[str, Field(max_length=MOST_WORDS), AfterValidator(_said)]
"""Words that must be there, such as a reason."""
Name = Annotated[str, Field(max_length=MOST_NAME), AfterValidator(_one_line)]
"""A table, a column, a key, a code."""
Value = Annotated[Any, AfterValidator(_finite)]
"""A cell, a row or a place."""
