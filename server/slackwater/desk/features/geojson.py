"""How is a row written as GeoJSON? RFC 7946: WGS84 longitude, latitude, to seven decimals."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.desk.features.layer import Layer

DECIMALS = 7
"""Of a degree: about a centimetre."""


def feature_of(layer: Layer, row: int) -> dict[str, Any]:
    """Give one row as a GeoJSON feature; what is not known or not shown of it is null."""
    return {
        "type": "Feature",
        "id": layer.ids[row],
        "geometry": _geometry(layer.places[row]),
        "properties": {each.name: layer.columns[each.name][row] for each in layer.properties},
    }


def bounds_of(layer: Layer) -> list[float] | None:
    """Give west, south, east, north, rounded outwards; None where nothing has a place."""
    if layer.bounds is None:
        return None
    steps = np.round(np.array(layer.bounds) * 10**DECIMALS, 2)  # what is less than that is noise
    outwards = [*np.floor(steps[:2]), *np.ceil(steps[2:])]
    return [float(value / 10**DECIMALS) for value in outwards]


def _geometry(place: Any) -> dict[str, Any] | None:
    if place is None or shapely.is_empty(place):
        return None
    written: dict[str, Any] = shapely.geometry.mapping(shapely.transform(place, _rounded))
    return written


def _rounded(coordinates: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.round(coordinates, DECIMALS)
