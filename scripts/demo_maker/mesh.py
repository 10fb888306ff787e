"""On which points does water flow before there is a river?

An irregular net of points, not a square grid: water that steps between the cells of a grid
runs in eight directions and the rivers show it for ever.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import Delaunay

from .frame import HALF_HEIGHT_KM, HALF_WIDTH_KM, Bools, Floats, Ints


@dataclass(frozen=True)
class Mesh:
    """Points (n, 2) in km, and the edges of their triangles, sorted by the point they leave."""

    points_km: Floats
    edge_from: Ints
    edge_to: Ints
    edge_km: Floats
    first_edge: Ints
    on_rim: Bools
    cell_km2: float


def make_mesh(rng: np.random.Generator, spacing_km: float) -> Mesh:
    """A six-sided lattice, turned and shaken so that it keeps no direction."""
    reach_km = np.hypot(HALF_WIDTH_KM, HALF_HEIGHT_KM) + spacing_km
    steps = np.arange(-int(reach_km / spacing_km * 1.2), int(reach_km / spacing_km * 1.2) + 1)
    column, row = np.meshgrid(steps, steps)
    lattice = np.column_stack(
        [
            (column + 0.5 * (row % 2)).ravel() * spacing_km,
            row.ravel() * spacing_km * np.sqrt(3) / 2,
        ]
    )
    lattice += rng.uniform(-0.33, 0.33, lattice.shape) * spacing_km
    turn = 0.31
    turned = lattice @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    inside = (np.abs(turned[:, 0]) <= HALF_WIDTH_KM) & (np.abs(turned[:, 1]) <= HALF_HEIGHT_KM)
    return mesh_of(turned[inside], spacing_km)


def mesh_of(points_km: Floats, spacing_km: float) -> Mesh:
    """The triangles of the points, as edges; overlong ones along the rim are left out."""
    starts, ends = Delaunay(points_km).vertex_neighbor_vertices
    edge_from = np.repeat(np.arange(len(points_km)), np.diff(starts))
    edge_to = ends.astype(np.int64)
    edge_km = np.hypot(*(points_km[edge_from] - points_km[edge_to]).T)
    kept = edge_km < 3.0 * spacing_km
    edge_from, edge_to, edge_km = edge_from[kept], edge_to[kept], edge_km[kept]
    rim_km = 0.8 * spacing_km
    on_rim = (np.abs(points_km[:, 0]) > HALF_WIDTH_KM - rim_km) | (
        np.abs(points_km[:, 1]) > HALF_HEIGHT_KM - rim_km
    )
    return Mesh(
        points_km=points_km,
        edge_from=edge_from,
        edge_to=edge_to,
        edge_km=edge_km,
        first_edge=np.searchsorted(edge_from, np.arange(len(points_km))),
        on_rim=on_rim,
        cell_km2=float(4 * HALF_WIDTH_KM * HALF_HEIGHT_KM / len(points_km)),
    )
