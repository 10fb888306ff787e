"""The door for a GIS at its addresses: who looks, what is asked, which document answers."""

from __future__ import annotations

import json
from typing import Annotated, Any

from fastapi import Depends, FastAPI, Request
from fastapi.responses import Response

from slackwater.api.least_role import least
from slackwater.api.looking import Looks
from slackwater.api.ogc import addresses as at
from slackwater.api.ogc.addresses import Door, door_of
from slackwater.api.ogc.asked import OF_ITEM, asked_of, require_crs84, require_known
from slackwater.api.ogc.conformance import conforms_to
from slackwater.api.ogc.description import description_of
from slackwater.api.ogc.documents import (
    collection_page,
    collections_page,
    item_page,
    items_page,
    landing_page,
)
from slackwater.api.ogc.schemas import layer_schema
from slackwater.desk.features.asking import find
from slackwater.desk.features.layers import Layers
from slackwater.errors import NotHere
from slackwater.people.roles import Least

NO_SUCH_FEATURE = "There is no such feature here."
FOR_ANYONE: dict[str, Any] = {"include_in_schema": False, **least(Least.PUBLIC)}
"""Of every address here; the door describes itself."""

At = Annotated[Door, Depends(door_of)]


def answer_features(app: FastAPI) -> None:
    """Add OGC API - Features (least role: public); what is shown follows from who looks."""
    layers = Layers(app.state.showing)
    _answer_whole(app, layers)
    _answer_layers(app, layers)
    _answer_items(app, layers)


def _answer_whole(app: FastAPI, layers: Layers) -> None:
    """Add what tells of the whole door."""

    @app.get(at.ROOT, **FOR_ANYONE)
    @app.get(f"{at.ROOT}/", **FOR_ANYONE)
    def landing(request: Request, door: At, _: Looks) -> Response:
        require_known(request.query_params, ())
        return _json(landing_page(door, layers.catchment_name))

    @app.get(at.CONFORMANCE, **FOR_ANYONE)
    def conformance(request: Request, _: Looks) -> Response:
        require_known(request.query_params, ())
        return _json({"conformsTo": conforms_to(request.app.routes)})

    @app.get(at.DESCRIPTION, **FOR_ANYONE)
    def description(request: Request, door: At, viewer: Looks) -> Response:
        require_known(request.query_params, ())
        entry = request.app.state.entry
        document = description_of(door, layers.catchment_name, layers.all(viewer), entry)
        return _json(document, at.OPENAPI)


def _answer_layers(app: FastAPI, layers: Layers) -> None:
    """Add what tells of the collections."""

    @app.get(at.COLLECTIONS, **FOR_ANYONE)
    def collections(request: Request, door: At, viewer: Looks) -> Response:
        require_known(request.query_params, ())
        return _json(collections_page(door, layers.all(viewer)))

    @app.get(at.COLLECTION, **FOR_ANYONE)
    def collection(request: Request, door: At, viewer: Looks, collection_id: str) -> Response:
        require_known(request.query_params, ())
        return _json(collection_page(door, layers.of(collection_id, viewer)))

    @app.get(at.SCHEMA, **FOR_ANYONE)
    def schema(request: Request, door: At, viewer: Looks, collection_id: str) -> Response:
        require_known(request.query_params, ())
        layer = layers.of(collection_id, viewer)
        return _json(layer_schema(layer, door.to(at.SCHEMA, layer.name)), at.JSON_SCHEMA)


def _answer_items(app: FastAPI, layers: Layers) -> None:
    """Add the features."""

    @app.get(at.ITEMS, **FOR_ANYONE)
    def items(request: Request, door: At, viewer: Looks, collection_id: str) -> Response:
        layer, query = layers.of(collection_id, viewer), request.query_params
        asked = asked_of(query, layer.by_name)
        return _json(items_page(door, layer, query, asked, find(layer, asked)), at.GEOJSON)

    @app.get(at.ITEM, **FOR_ANYONE)
    def item(
        request: Request, door: At, viewer: Looks, collection_id: str, feature_id: str
    ) -> Response:
        layer, query = layers.of(collection_id, viewer), request.query_params
        require_known(query, OF_ITEM)
        require_crs84(query, "crs")
        row = layer.row_of.get(feature_id)
        if row is None:  # what was asked for is not repeated: it may be anything
            raise NotHere(NO_SUCH_FEATURE)
        return _json(item_page(door, layer, row), at.GEOJSON)


def _json(document: dict[str, Any], media_type: str = at.JSON) -> Response:
    """Give a document as it is sent; a number that is none would be no JSON."""
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(text.encode(), media_type=media_type)
