"""What shape have the answers of this door? As schemas of OpenAPI 3.0, in the standard's words."""

from __future__ import annotations

from typing import Any

TEXT = {"type": "string"}
COUNT = {"type": "integer", "minimum": 0}
LINKS = {"type": "array", "items": {"$ref": "#/components/schemas/link"}}
BOX = {"type": "array", "minItems": 4, "maxItems": 4, "items": {"type": "number"}}


def _object(required: str, **properties: Any) -> dict[str, Any]:
    return {"type": "object", "required": required.split(), "properties": properties}


EXTENT = _object(
    "spatial", spatial=_object("bbox crs", bbox={"type": "array", "items": BOX}, crs=TEXT)
)

SCHEMAS: dict[str, dict[str, Any]] = {
    "link": _object("href rel type", href=TEXT, rel=TEXT, type=TEXT, title=TEXT),
    "landing": _object("title links", title=TEXT, description=TEXT, links=LINKS),
    "conformance": _object("conformsTo", conformsTo={"type": "array", "items": TEXT}),
    "collections": _object(
        "links collections",
        links=LINKS,
        collections={"type": "array", "items": {"$ref": "#/components/schemas/collection"}},
    ),
    "collection": _object(
        "id links",
        id=TEXT,
        title=TEXT,
        description=TEXT,
        itemType={"type": "string", "enum": ["feature"]},
        crs={"type": "array", "items": TEXT},
        extent=EXTENT,
        links=LINKS,
    ),
    "page": _object(
        "type features numberMatched numberReturned timeStamp links",
        type={"type": "string", "enum": ["FeatureCollection"]},
        features={"type": "array", "items": {"type": "object"}},
        numberMatched=COUNT,
        numberReturned=COUNT,
        timeStamp={"type": "string", "format": "date-time"},
        links=LINKS,
    ),
    "error": _object("error", error=_object("code message", code=TEXT, message=TEXT)),
}
"""Those of the features themselves follow from each layer's properties."""
