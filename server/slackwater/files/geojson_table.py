"""What does a GeoJSON file say? Properties and geometry by feature, numbered from 1."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry import shape

from slackwater.catchment.fields import Shape, TableSpec
from slackwater.catchment.raw import UNREADABLE, RawTable
from slackwater.errors import Finding, InputFaults
from slackwater.files.csv_table import decoded
from slackwater.files.grid import MOST_COLUMNS, too_many_columns
from slackwater.files.reading import Reading, finding

WGS84 = "OGC:CRS84"

NESTING = {
    "Point": 0, "MultiPoint": 1, "LineString": 1,
    "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3,
}  # fmt: skip
"""Geometry type -> how deep its positions lie within lists."""


def read_geojson_table(path: Path, spec: TableSpec, reading: Reading) -> RawTable:
    """Read one table from a GeoJSON feature collection; values stay as JSON gives them.

    The reference system is WGS84 longitude, latitude unless an old-style ``crs`` member names
    another; ``crs: null`` gives "".

    Raises
    ------
    InputFaults
        ``encoding``, ``too_many_columns`` or ``unreadable``, where it is no feature collection.
    """
    collection = _collection(path, spec)
    features = collection["features"]
    properties = [
        _properties(feature, number, spec, reading) for number, feature in enumerate(features, 1)
    ]
    names = dict.fromkeys(name for row in properties for name in row)
    if len(names) > MOST_COLUMNS:
        raise InputFaults([too_many_columns(spec, path.name, len(names))])
    cells = {name: [_cell(row.get(name)) for row in properties] for name in names}
    geometry: list[Any] | None = None
    if spec.shape is not Shape.NONE:
        geometry = []
        for number, feature in enumerate(features, 1):
            given = feature.get("geometry") if isinstance(feature, dict) else None
            built, problem = build_geometry(given)
            if problem:
                key = reading.key_of(spec, cells, number - 1)
                reading.faults.append(geometry_invalid(spec.name, number, key, problem))
            geometry.append(built)
    rows = tuple(range(1, len(features) + 1))
    return RawTable(spec.name, path.name, rows, cells, geometry, _crs(collection, spec, reading))


def build_geometry(given: Any) -> tuple[Any, str]:
    """Build a plane geometry from its JSON; None where null, heights left out.

    Returns
    -------
    geometry : a shapely geometry, None, or ``UNREADABLE``.
    problem : why it cannot be built, "" where it could.
    """
    if given is None:
        return None, ""
    try:
        if given["type"] not in NESTING:
            return shape(given), ""
        coordinates = _nested(given["coordinates"], NESTING[given["type"]])
        return shape({"type": given["type"], "coordinates": coordinates}), ""
    except shapely.errors.ShapelyError as error:
        return UNREADABLE, str(error).strip().removeprefix("IllegalArgumentException: ")
    except (LookupError, TypeError, AttributeError):
        return UNREADABLE, "it is no GeoJSON geometry"
    except (ValueError, OverflowError) as error:
        return UNREADABLE, str(error)


def _nested(coordinates: Any, depth: int) -> list[Any]:
    """Check positions within lists ``depth`` deep and give their first two numbers."""
    if not isinstance(coordinates, list):
        raise ValueError("coordinates must be lists of numbers, nested as the type needs")
    if not coordinates:
        return []
    if depth:
        return [_nested(part, depth - 1) for part in coordinates]
    if len(coordinates) < 2 or not all(type(number) in (int, float) for number in coordinates):
        raise ValueError("a position must be two numbers")
    return [float(number) for number in coordinates[:2]]


def geometry_invalid(table: str, row: int, key: str, problem: str) -> Finding:
    """Give the fault of a geometry that cannot be built."""
    remedy = f"the geometry cannot be built ({problem}); draw it again or repair it in a GIS"
    return finding(table, "geometry_invalid", remedy, row=row, key=key)


def _collection(path: Path, spec: TableSpec) -> dict[str, Any]:
    text = decoded(path.read_bytes(), spec.name, "")
    try:
        collection = json.loads(text)
    except json.JSONDecodeError as error:
        remedy = f"not JSON at line {error.lineno}, column {error.colno}: {error.msg}"
        raise InputFaults([finding(spec.name, "unreadable", remedy)]) from error
    except (ValueError, RecursionError) as error:
        remedy = f"not readable as JSON: {error}"
        raise InputFaults([finding(spec.name, "unreadable", remedy)]) from error
    is_collection = isinstance(collection, dict) and collection.get("type") == "FeatureCollection"
    if not is_collection or not isinstance(collection.get("features"), list):
        remedy = f"{path.name} must be one FeatureCollection with a list of features"
        raise InputFaults([finding(spec.name, "unreadable", remedy)])
    return collection


def _properties(feature: Any, number: int, spec: TableSpec, reading: Reading) -> Mapping[str, Any]:
    properties = feature.get("properties") if isinstance(feature, dict) else False
    if properties is None:
        return {}
    if not isinstance(properties, dict) or feature.get("type") != "Feature":
        remedy = "each entry must be a Feature with properties and a geometry"
        reading.faults.append(finding(spec.name, "unreadable", remedy, row=number))
        return {}
    return properties


def _cell(value: Any) -> Any:
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return value


def _crs(collection: Mapping[str, Any], spec: TableSpec, reading: Reading) -> str:
    if "crs" not in collection:
        return WGS84
    member = collection["crs"]
    if member is None:
        return ""
    properties = member.get("properties") if isinstance(member, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if isinstance(name, str) and name:
        return name
    remedy = 'leave out "crs" for WGS84, or name it: {"type": "name", "properties": {"name": ...}}'
    reading.faults.append(finding(spec.name, "no_crs", remedy, value=str(member)[:200]))
    return WGS84
