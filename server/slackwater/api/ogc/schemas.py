"""What kind are a layer's properties? As a JSON schema, and as the API's description has them."""

from __future__ import annotations

from typing import Any

from slackwater.desk.features.layer import Layer, Told, Value

DRAFT = "https://json-schema.org/draft/2020-12/schema"
KINDS: dict[Value, dict[str, str]] = {
    Value.TEXT: {"type": "string"},
    Value.NUMBER: {"type": "number"},
    Value.WHOLE: {"type": "integer"},
    Value.DATE: {"type": "string", "format": "date"},
}
GEOMETRY: dict[str, Any] = {"type": "object", "nullable": True, "description": "RFC 7946"}


def kind_of(told: Told) -> dict[str, str]:
    """Give the schema of a property's values where there are any."""
    return dict(KINDS[told.value])


def meaning_of(told: Told) -> str:
    """Give what a property says, with its unit."""
    return f"{told.meaning} ({told.unit})" if told.unit else told.meaning


def properties_of(layer: Layer, **more: Any) -> dict[str, Any]:
    """Give the schema of each property, with what it says; ``more`` goes into each."""
    return {
        each.name: {**kind_of(each), "description": meaning_of(each), **more}
        for each in layer.properties
    }


def layer_schema(layer: Layer, address: str) -> dict[str, Any]:
    """Give the schema of a layer's features; readers take the columns and their types from it.

    The types are those of known values: readers do not understand a choice between types.
    """
    return {
        "$schema": DRAFT,
        "$id": address,
        "title": layer.title,
        "description": "A value that is not known or not shown is null.",
        "type": "object",
        "properties": {
            "type": {"const": "Feature"},
            "id": {"type": "string"},
            "geometry": {"description": "as in RFC 7946"},
            "properties": {"type": "object", "properties": properties_of(layer)},
        },
    }
