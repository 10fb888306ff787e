"""What do the answers of this door hold? Landing page, collections, pages of features, features."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from starlette.datastructures import QueryParams

from slackwater.api.ogc import addresses as at
from slackwater.api.ogc.addresses import Door, link
from slackwater.api.ogc.asked import CRS84
from slackwater.desk.features.asking import Asked, Found
from slackwater.desk.features.geojson import bounds_of, feature_of
from slackwater.desk.features.layer import Layer

TELLS = "Rank, loss and screens of a catchment's offtakes, with its rivers; to be read alone."


def landing_page(door: Door, catchment: str) -> dict[str, Any]:
    """Give the landing page (/req/core/root-success)."""
    return {
        "title": catchment,
        "description": TELLS,
        "links": [
            link(door.to(at.ROOT), "self", at.JSON, "this page"),
            link(door.to(at.DESCRIPTION), "service-desc", at.OPENAPI, "the API's description"),
            link(f"{door.origin}{at.GUIDE}", "service-doc", at.HTML, "how to connect a GIS"),
            link(door.to(at.CONFORMANCE), "conformance", at.JSON, "what it conforms to"),
            link(door.to(at.COLLECTIONS), "data", at.JSON, "the collections"),
        ],
    }


def collections_page(door: Door, layers: Iterable[Layer]) -> dict[str, Any]:
    """Give the list of collections (/req/core/fc-md-success)."""
    return {
        "links": [link(door.to(at.COLLECTIONS), "self", at.JSON, "this list")],
        "collections": [collection_page(door, layer) for layer in layers],
    }


def collection_page(door: Door, layer: Layer) -> dict[str, Any]:
    """Give one collection, as it stands in the list too (/req/core/sfc-md-success)."""
    itself = door.to(at.COLLECTION, layer.name)
    schema = door.to(at.SCHEMA, layer.name)
    page: dict[str, Any] = {
        "id": layer.name,
        "title": layer.title,
        "description": layer.description,
        "itemType": "feature",
        "crs": [CRS84],
        "links": [
            link(itself, "self", at.JSON, layer.title),
            link(door.to(at.ITEMS, layer.name), "items", at.GEOJSON, f"{layer.title}, as GeoJSON"),
            # RFC 8288 compares relations without regard to case; some readers do not.
            link(schema, "describedby", at.JSON_SCHEMA, "what its properties mean"),
            link(schema, "describedBy", at.JSON_SCHEMA, "what its properties mean"),
        ],
    }
    bounds = bounds_of(layer)
    if bounds:
        page["extent"] = {"spatial": {"bbox": [bounds], "crs": CRS84}}
    return page


def items_page(
    door: Door, layer: Layer, query: QueryParams, asked: Asked, found: Found
) -> dict[str, Any]:
    """Give one page of features (/req/core/fc-response)."""
    return {
        "type": "FeatureCollection",
        "features": [feature_of(layer, row) for row in found.rows],
        "numberMatched": found.matched,
        "numberReturned": len(found.rows),
        "timeStamp": datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        "links": [
            link(_items(door, layer, query), "self", at.GEOJSON, "this page"),
            *_pages_beside(door, layer, query, asked, found),
            link(door.to(at.COLLECTION, layer.name), "collection", at.JSON, layer.title),
        ],
    }


def item_page(door: Door, layer: Layer, row: int) -> dict[str, Any]:
    """Give one feature (/req/core/f-success)."""
    itself = door.to(at.ITEM, layer.name, layer.ids[row])
    return {
        **feature_of(layer, row),
        "links": [
            link(itself, "self", at.GEOJSON, "this feature"),
            link(door.to(at.COLLECTION, layer.name), "collection", at.JSON, layer.title),
        ],
    }


def _pages_beside(
    door: Door, layer: Layer, query: QueryParams, asked: Asked, found: Found
) -> list[dict[str, Any]]:
    """Link the next and the previous page, where there are such."""
    links, after = [], asked.offset + asked.limit
    if after < found.matched:
        href = _items(door, layer, query, offset=after, limit=asked.limit)
        links.append(link(href, "next", at.GEOJSON, "the next page"))
    if asked.offset:
        before = max(0, min(asked.offset, found.matched) - asked.limit)
        href = _items(door, layer, query, offset=before, limit=asked.limit)
        links.append(link(href, "prev", at.GEOJSON, "the page before"))
    return links


def _items(door: Door, layer: Layer, query: QueryParams, **page: int) -> str:
    """Give the address of a page; what else was asked for stays."""
    pairs = [(name, value) for name, value in query.multi_items() if name not in page]
    pairs += [(name, str(value)) for name, value in page.items()]
    return door.to(at.ITEMS, layer.name, query=pairs)
