"""How are settings written down again? As TOML text, or as rows of key and value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any

import tomli_w

from slackwater.catchment.settings import Settings

WEIGHTS = ("risk", "overlap", "cost")
WRITTEN_OTHERWISE = ("name", "name_given", "screen_criteria", "weights", "criteria",
                     "year_weights", "allocation", "ranges")  # fmt: skip


def settings_text(settings: Settings) -> str:
    """Give the settings as TOML text that reads back to the same."""
    return tomli_w.dumps(settings_document(settings))


def settings_document(settings: Settings) -> dict[str, Any]:
    """Give the settings as nested plain values, as TOML would give them.

    What is empty is left out, and so is a name that was only taken from the file.
    """
    document: dict[str, Any] = {"name": settings.name} if settings.name_given else {}
    for each in fields(settings):
        value = getattr(settings, each.name)
        if each.name not in WRITTEN_OTHERWISE and value != "":
            document[each.name] = value
    criteria = settings.screen_criteria
    document["screen_criteria"] = {
        each.name: value
        for each in fields(criteria)
        if (value := getattr(criteria, each.name)) not in (None, "")
    }
    document["weights"] = dict(zip(WEIGHTS, settings.weights, strict=True))
    document["year_weights"] = _by_year(settings.year_weights)
    document["allocation"] = _by_year(settings.allocation)
    document["ranges"] = {name: list(pair) for name, pair in settings.ranges.items()}
    document["criterion"] = [
        {each.name: getattr(row, each.name) for each in fields(row)} for row in settings.criteria
    ]
    return {key: value for key, value in document.items() if value not in ({}, [])}


def settings_rows(settings: Settings) -> list[tuple[str, Any]]:
    """Give the settings as rows of dotted key and value, for a sheet."""
    return list(_flattened(settings_document(settings), ""))


def _by_year(values: Mapping[int, float]) -> dict[str, float]:
    return {str(year): value for year, value in sorted(values.items())}


def _flattened(value: Any, key: str) -> Iterator[tuple[str, Any]]:
    prefix = f"{key}." if key else ""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _flattened(inner, prefix + name)
    elif key.startswith("ranges."):
        yield prefix + "low", value[0]
        yield prefix + "high", value[1]
    elif isinstance(value, list):
        for number, inner in enumerate(value, 1):
            yield from _flattened(inner, f"{prefix}{number}")
    else:
        yield key, value
