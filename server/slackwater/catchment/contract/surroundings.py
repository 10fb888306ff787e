"""The tables of the land, for the map and the visits; all optional."""

from __future__ import annotations

from slackwater.catchment.contract.columns import key, number, text, whole, word
from slackwater.catchment.fields import Shape, TableSpec

PLACES = TableSpec(
    "places",
    "towns and villages",
    (
        text("name", "name", needed=True),
        whole("size", "-", "1 small to 4 large", default=1.0, least=1, most=4),
    ),
    shape=Shape.POINT,
    needed=False,
)

ROADS = TableSpec(
    "roads",
    "roads a vehicle can use",
    (
        key("road_id", "the road's id"),
        text("name", "name"),
        text("class", "kind of road"),
        number("speed_kmh", "km/h", "usual speed"),
    ),
    key=("road_id",),
    shape=Shape.LINE,
    needed=False,
)

DEPOTS = TableSpec(
    "depots",
    "where a field day starts",
    (text("name", "name", needed=True),),
    shape=Shape.POINT,
    needed=False,
)

LAND = TableSpec(
    "land",
    "towns, forests, wetlands and districts as areas",
    (
        text("name", "name"),
        word("kind", ("town", "forest", "wetland", "district"), "what it is", needed=True),
    ),
    shape=Shape.POLYGON,
    needed=False,
)
