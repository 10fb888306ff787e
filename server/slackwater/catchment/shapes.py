"""Where does each row lie? Geometries checked and brought to WGS84 longitude, latitude."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from slackwater.catchment.draft import GEOMETRY, Draft, Mask
from slackwater.catchment.fields import Shape
from slackwater.catchment.raw import UNREADABLE, RawTable
from slackwater.catchment.reference_systems import (
    look_like_degrees,
    outside,
    system_of,
    to_degrees,
)

Shapes = NDArray[np.object_]
Trouble = tuple[str, str]

REMEMBERED = 20_000
"""Shapes that come again at every edit."""

EMPTY: Trouble = ("geometry_empty", "give the row its place")
NOT_FINITE: Trouble = ("geometry_invalid", "coordinates that are finite numbers")
TOO_SHORT: Trouble = ("geometry_invalid", "a line through at least two different points")
APART: Trouble = (
    "geometry_type",
    "a multi-part line whose parts do not join end to end; join it, or make each part a reach",
)
EXAMPLE = 'such as "EPSG:7844"'


def place_rows(
    drafts: Mapping[str, Draft],
    raw_tables: Mapping[str, RawTable],
    settings_crs: str,
    *,
    crs_known: bool,
) -> None:
    """Give every draft its geometry in WGS84 and report what cannot be placed.

    Parameters
    ----------
    settings_crs : the system of tables that name none, "" where the settings name none.
    crs_known : false where that setting is itself at fault.
    """
    for name, draft in drafts.items():
        raw = raw_tables.get(name)
        if raw is not None and draft.spec.shape is not Shape.NONE and len(draft):
            _place_table(draft, raw, settings_crs, crs_known=crs_known)


def _place_table(draft: Draft, raw: RawTable, settings_crs: str, *, crs_known: bool) -> None:
    if raw.geometry is None:
        if draft.spec.shape is Shape.LINE and draft.spec.name == "reaches":
            return  # a sheet carries no line; the reach's length is asked for elsewhere
        draft.bad[GEOMETRY] = np.ones(len(draft), bool)
        columns = "lon and lat, or x and y with a crs"
        how = f"columns {columns}" if draft.spec.shape is Shape.POINT else "a format with geometry"
        draft.fault_whole("no_geometry", f"{raw.found_in} says nowhere where its rows lie: {how}")
        return
    draft.geometry = _sound_shapes(draft, raw.geometry)
    own_crs = raw.crs or settings_crs
    system = system_of(own_crs) if own_crs else None
    if system is None:
        if raw.crs:
            draft.fault_whole("unknown_crs", f"a reference system {EXAMPLE}", value=raw.crs)
        elif not own_crs and crs_known:
            told = f"name the system of its coordinates: crs = ... in the settings, {EXAMPLE}"
            draft.fault_whole("no_crs", told)
        draft.bad[GEOMETRY] = np.ones(len(draft), bool)
        return
    _to_wgs84(draft, system)


def _sound_shapes(draft: Draft, given: Sequence[Any]) -> Shapes:
    """(n,) two-dimensional shapes of the right type, None where there is none."""
    shapes = np.full(len(draft), None, object)
    for position, each in enumerate(given):
        if each is UNREADABLE:
            draft.mark_bad(position, GEOMETRY)
            continue
        shape, trouble = _sound_shape(each, draft.spec.shape)
        if trouble:
            draft.fault(position, GEOMETRY, *trouble)
        shapes[position] = shape
    return shapes


def _sound_shape(given: Any, wanted: Shape) -> tuple[Any, Trouble | None]:
    """Give the shape as wanted, or what is wrong with it."""
    if given is None or given.is_empty:
        return None, EMPTY
    if not np.isfinite(shapely.get_coordinates(given)).all():
        return None, NOT_FINITE
    flat = shapely.force_2d(given)
    match wanted, flat.geom_type:
        case (Shape.POINT, "Point") | (Shape.LINE, "LineString") | (Shape.POLYGON, "Polygon"):
            shape = flat
        case (Shape.POINT, "MultiPoint") | (Shape.POLYGON, "MultiPolygon"):
            if wanted is Shape.POINT and len(flat.geoms) > 1:
                return None, ("geometry_type", "one point, not several")
            shape = flat.geoms[0] if len(flat.geoms) == 1 else flat
        case Shape.LINE, "MultiLineString":
            shape = _joined(flat)
            if shape is None:
                return None, APART
        case _:
            return None, ("geometry_type", f"a {wanted.value}, not a {flat.geom_type}")
    return (None, trouble) if (trouble := _shape_trouble(shape, wanted)) else (shape, None)


def _joined(parts: Any) -> Any:
    """Join the parts of a line in running order, None where they do not make one line."""
    if len(parts.geoms) == 1:
        return parts.geoms[0]
    merged = shapely.line_merge(parts, directed=True)
    return merged if merged.geom_type == "LineString" else None


@lru_cache(REMEMBERED)
def _shape_trouble(shape: Any, wanted: Shape) -> Trouble | None:
    if wanted is Shape.LINE and len(np.unique(shapely.get_coordinates(shape), axis=0)) < 2:
        return TOO_SHORT
    if wanted is Shape.POLYGON and not shape.is_valid:
        return "geometry_invalid", f"a valid area: {shapely.is_valid_reason(shape)}"
    return None


def _to_wgs84(draft: Draft, system: CRS) -> None:
    """Bring the draft's shapes to degrees, and report those that lie outside the system."""
    assert draft.geometry is not None
    placed = np.flatnonzero(~shapely.is_missing(draft.geometry))
    shapes = draft.geometry[placed]
    if not len(shapes):
        return
    coordinates, owner = shapely.get_coordinates(shapes, return_index=True)
    if look_like_degrees(system, coordinates):
        _fault_all(
            draft, f"these look like degrees, but the system is {system.name}: correct the crs"
        )
        return
    degrees = to_degrees(system, coordinates)
    lost = np.zeros(len(shapes), bool)
    lost[owner[outside(system, coordinates, degrees)]] = True
    if lost.all() and len(shapes) > 1:
        _fault_all(draft, f"no row lies where {system.name} holds: correct the crs")
        return
    for position in placed[lost]:
        draft.fault(
            int(position),
            GEOMETRY,
            "outside_crs",
            f"coordinates within {_area(system)} ({system.name})",
        )
    _keep(draft, placed, shapes, degrees, lost)


def _keep(
    draft: Draft,
    placed: NDArray[np.int64],
    shapes: Shapes,
    degrees: NDArray[np.float64],
    lost: Mask,
) -> None:
    assert draft.geometry is not None
    moved = shapely.set_coordinates(shapes.copy(), degrees + 0.0)  # + 0.0: -0 is 0
    draft.geometry[placed] = moved
    draft.geometry[placed[lost]] = None


def _fault_all(draft: Draft, remedy: str) -> None:
    draft.fault_whole("outside_crs", remedy)
    draft.bad[GEOMETRY] = np.ones(len(draft), bool)


def _area(system: CRS) -> str:
    if system.is_geographic:
        return "-180..180 and -90..90 degrees, longitude first"
    return "the area this system was made for"
