"""To which parts of the standard does this door conform? To those whose addresses are there."""

from __future__ import annotations

from collections.abc import Iterable

from starlette.routing import BaseRoute

from slackwater.api.ogc import addresses as at

PART_1 = "http://www.opengis.net/spec/ogcapi-features-1/1.0/conf"

CLASSES: dict[str, tuple[str, ...]] = {
    f"{PART_1}/core": (
        at.ROOT, at.DESCRIPTION, at.CONFORMANCE, at.COLLECTIONS, at.COLLECTION, at.ITEMS, at.ITEM,
    ),
    f"{PART_1}/geojson": (at.ITEMS, at.ITEM),
    f"{PART_1}/oas30": (at.DESCRIPTION,),
}  # fmt: skip
"""Each conformance class with the addresses without which it would not be held."""


def conforms_to(routes: Iterable[BaseRoute]) -> list[str]:
    """Give the classes all of whose addresses are among the routes."""
    there = {getattr(route, "path", "") for route in routes}
    return [name for name, needed in CLASSES.items() if there.issuperset(needed)]
