"""How do shapes travel to the page? As columns of whole numbers, each the step from the last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

STEPS_PER_DEGREE = 100_000
"""Resolution on the wire, 1e-5 degree: about a metre."""


@dataclass(frozen=True)
class CodedLines:
    """Lines, or rings of areas, one after the other.

    Attributes
    ----------
    row : table row each line belongs to; the step from the line before.
    points : points in each line.
    lon, lat : whole 1e-5 degrees; the first as it is, then steps from the point before, on through
        all lines.
    """

    row: list[int]
    points: list[int]
    lon: list[int]
    lat: list[int]


def code_places(lon_deg: NDArray[np.float64], lat_deg: NDArray[np.float64]) -> dict[str, list[int]]:
    """Give points as columns ``lon`` and ``lat`` of steps."""
    return {"lon": steps(lon_deg), "lat": steps(lat_deg)}


def steps(degrees: NDArray[np.float64]) -> list[int]:
    """(n,) degrees as whole 1e-5 degrees, each the step from the one before."""
    whole = np.rint(np.asarray(degrees, np.float64) * STEPS_PER_DEGREE).astype(np.int64)
    return [int(step) for step in np.diff(whole, prepend=0)]


def code_lines(geometries: Sequence[Any] | NDArray[np.object_] | None) -> CodedLines:
    """Code lines, or the rings of polygons; rows without a shape have none."""
    row: list[int] = []
    points: list[int] = []
    chains: list[NDArray[np.float64]] = []
    for position, geometry in enumerate(geometries if geometries is not None else ()):
        for chain in _chains(geometry):
            row.append(position)
            points.append(len(chain))
            chains.append(chain)
    coordinates = np.concatenate(chains) if chains else np.zeros((0, 2))
    rows = np.diff(np.array(row, np.int64), prepend=0).tolist()
    return CodedLines(rows, points, steps(coordinates[:, 0]), steps(coordinates[:, 1]))


def _chains(geometry: Any) -> list[NDArray[np.float64]]:
    """Coordinates of every line or ring, points that fall together on the wire dropped."""
    if geometry is None or shapely.is_empty(geometry):
        return []
    parts = shapely.get_parts(geometry)
    chains = []
    for part in parts:
        rings = shapely.get_rings(part) if shapely.get_dimensions(part) == 2 else [part]
        chains += [_without_repeats(shapely.get_coordinates(ring)) for ring in rings]
    return chains


def _without_repeats(coordinates: NDArray[np.float64]) -> NDArray[np.float64]:
    whole = np.rint(coordinates * STEPS_PER_DEGREE)
    moved = np.ones(len(whole), bool)
    moved[1:] = (whole[1:] != whole[:-1]).any(axis=1)
    moved[-1:] |= moved.sum() < 2  # a line too short to see still has two ends
    return coordinates[moved]
