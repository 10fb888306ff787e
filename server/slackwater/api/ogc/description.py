"""How does this door describe itself? As OpenAPI 3.0, for whoever asks: their layers, their names.

The rest of the service describes itself as OpenAPI 3.1, which readers of this standard do not know.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from slackwater import __version__
from slackwater.api.entry import Entry
from slackwater.api.ogc import addresses as at
from slackwater.api.ogc.addresses import Door
from slackwater.api.ogc.answer_schemas import SCHEMAS
from slackwater.api.ogc.asked import (
    CRS84,
    DEFAULT_LIMIT,
    EVERYWHERE,
    MOST_AT_ONCE,
    ONE_FORM,
    filters_of,
)
from slackwater.api.ogc.documents import TELLS
from slackwater.api.ogc.schemas import GEOMETRY, kind_of, meaning_of, properties_of
from slackwater.desk.features.layer import Layer

REFUSALS = {
    "400": "a parameter is not known here, or its value is none",
    "401": "sign in, or send a token",
    "403": "the roles of whoever asks do not suffice",
    "404": "there is no such thing here",
    "421": "the service answers to its own names only",
    "429": "too many requests from here",
    "500": "something went wrong here",
    "503": "the database cannot be reached",
}
LOGINS = {
    "token": {"type": "http", "scheme": "bearer"},
    "password": {"type": "http", "scheme": "basic", "description": "any name; the token"},
}


def description_of(
    door: Door, catchment: str, layers: Iterable[Layer], entry: Entry
) -> dict[str, Any]:
    """Give the whole document."""
    layers = list(layers)
    document: dict[str, Any] = {
        "openapi": "3.0.3",
        "info": {"title": f"{catchment}: features", "version": __version__, "description": TELLS},
        "servers": [{"url": f"{door.origin}{at.ROOT}"}],
        "paths": {**_whole_paths(), **_layer_paths(layers)},
        "components": {
            "schemas": {**SCHEMAS, **{f"of_{layer.name}": _feature(layer) for layer in layers}},
            "parameters": _parameters(),
            "responses": {
                f"E{status}": _answer(told, "error") for status, told in REFUSALS.items()
            },
        },
    }
    if entry.accounts is not None:
        document["components"]["securitySchemes"] = LOGINS
        open_to_all: list[dict[str, Any]] = [{}] if entry.public_map else []
        document["security"] = [*({name: []} for name in LOGINS), *open_to_all]
    return document


def _whole_paths() -> dict[str, Any]:
    api = {"description": "this document", "content": {at.OPENAPI: {"schema": {"type": "object"}}}}
    return {
        "/": _get("landing", "landing page", _answer("links to the rest", "landing")),
        "/api": _get("description", "this document", api),
        "/conformance": _get("conformance", "what it holds", _answer("classes", "conformance")),
        "/collections": _get("collections", "collections", _answer("the list", "collections")),
    }


def _layer_paths(layers: Iterable[Layer]) -> dict[str, Any]:
    paths: dict[str, Any] = {}
    for layer in layers:
        path, of = f"/collections/{layer.name}", f"of_{layer.name}"
        items = {"allOf": [_named("page"), {"properties": {"features": _list_of(of)}}]}
        schema = {"description": "a JSON schema", "content": {at.JSON_SCHEMA: {"schema": {}}}}
        paths |= {
            path: _get(f"{layer.name}.about", layer.title, _answer("about it", "collection")),
            f"{path}/schema": _get(f"{layer.name}.schema", "its properties", schema),
            f"{path}/items": _get(
                f"{layer.name}.items", layer.description, _geojson("a page", items),
                *(f"#/components/parameters/{name}" for name in _parameters() if name != "feature"),
                filters=_filters(layer),
            ),
            f"{path}/items/{{featureId}}": _get(
                f"{layer.name}.item", "one of them", _geojson("a feature", _named(of)),
                "#/components/parameters/feature", "#/components/parameters/crs",
            ),
        }  # fmt: skip
    return paths


def _get(
    name: str, summary: str, answer: Any, *parameters: str, filters: Iterable[Any] = ()
) -> dict[str, Any]:
    named = dict.fromkeys(
        [*parameters, *(f"#/components/parameters/{name}" for name in EVERYWHERE)]
    )
    operation = {
        "operationId": name,
        "summary": summary,
        "parameters": [*({"$ref": each} for each in named), *filters],
        "responses": {
            "200": answer,
            **{status: {"$ref": f"#/components/responses/E{status}"} for status in REFUSALS},
        },
    }
    return {"get": operation}


def _filters(layer: Layer) -> list[dict[str, Any]]:
    told = [layer.by_name[name] for name in filters_of(layer.by_name)]
    return [_query(each.name, meaning_of(each), kind_of(each)) for each in told]


def _parameters() -> dict[str, Any]:
    """Give the parameters of the standard and our own; ``bbox`` as the standard writes it."""
    counts = [{"minItems": 4, "maxItems": 4}, {"minItems": 6, "maxItems": 6}]
    box = {"type": "array", "oneOf": counts, "items": {"type": "number"}}
    crs = {"type": "string", "format": "uri", "enum": [CRS84], "default": CRS84}
    limit = {"type": "integer", "minimum": 1, "maximum": MOST_AT_ONCE, "default": DEFAULT_LIMIT}
    offset = {"type": "integer", "minimum": 0, "default": 0}
    viewers = {"type": "string", "enum": ["public", "agency", "lead"]}
    feature = _query("featureId", "id of a feature", {"type": "string"})
    return {
        "limit": _query("limit", "how many at most", limit),
        "offset": _query("offset", "how many are passed over", offset),
        "bbox": _query("bbox", "those in a box, degrees", box),
        "bbox-crs": _query("bbox-crs", "of bbox", crs),
        "datetime": _query(
            "datetime", "a moment, a date or an interval, RFC 3339", {"type": "string"}
        ),
        "crs": _query("crs", "of the answer", crs),
        "as": _query("as", "look as someone who may see less", viewers),
        "f": _query("f", "form of the answer", {"type": "string", "enum": [ONE_FORM]}),
        "feature": {**feature, "in": "path", "required": True, "style": "simple"},
    }


def _query(name: str, told: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {
        "name": name, "in": "query", "description": told, "required": False, "schema": schema,
        "style": "form", "explode": False,
    }  # fmt: skip


def _feature(layer: Layer) -> dict[str, Any]:
    properties = {"type": "object", "properties": properties_of(layer, nullable=True)}
    return {
        "type": "object",
        "required": ["type", "id", "geometry", "properties"],
        "properties": {
            "type": {"type": "string", "enum": ["Feature"]},
            "id": {"type": "string"},
            "geometry": GEOMETRY,
            "properties": properties,
            "links": {"type": "array", "items": _named("link")},
        },
    }


def _answer(told: str, schema: str) -> dict[str, Any]:
    return {"description": told, "content": {at.JSON: {"schema": _named(schema)}}}


def _geojson(told: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {"description": told, "content": {at.GEOJSON: {"schema": schema}}}


def _list_of(schema: str) -> dict[str, Any]:
    return {"type": "array", "items": _named(schema)}


def _named(schema: str) -> dict[str, Any]:
    return {"$ref": f"#/components/schemas/{schema}"}
