"""One row of the register: its cells, what they may hold, who wrote them last."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from slackwater.api.answers.shape import Answer, like


class FieldOfRow(Answer):
    """One column of a row that can be edited."""

    name: str
    kind: str = Field(description="id, text, word, words, number, integer, date or day")
    unit: str
    meaning: str
    words: list[str]
    needed: bool
    least: float | None = None
    most: float | None = None
    above_zero: bool
    default_note: str
    refers_to: str
    holds: str = Field(description="what a cell may hold, in words")


class LastWritten(Answer):
    """Who wrote a cell last."""

    at: str
    by: str
    why: str
    basis: str
    source: str


class Row(Answer):
    """One row of the register."""

    model_config = like(
        {
            "table": "depots",
            "key": "1",
            "cells": {"name": "Yard", "geometry": [10.11, 50.02]},
            "understood": {"name": "Yard", "geometry": [10.11, 50.02]},
            "fields": [
                {
                    "name": "name",
                    "kind": "text",
                    "unit": "",
                    "meaning": "its name",
                    "words": [],
                    "needed": False,
                    "least": None,
                    "most": None,
                    "above_zero": False,
                    "default_note": "",
                    "refers_to": "",
                    "holds": "its name",
                }
            ],
            "last": {
                "name": {
                    "at": "2026-01-02T00:00:00+00:00",
                    "by": "lead",
                    "why": "renamed",
                    "basis": "",
                    "source": "",
                }
            },
        }
    )

    table: str
    key: str
    cells: dict[str, Any] = Field(description="as given; null where blank")
    understood: dict[str, Any] = Field(description="with defaults and what is derived")
    fields: list[FieldOfRow]
    last: dict[str, LastWritten] = Field(description="for cells changed since the import")
