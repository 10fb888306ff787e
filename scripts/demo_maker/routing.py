"""Where does water go from each point of the net, and how much comes past?"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import breadth_first_order, minimum_spanning_tree

from .frame import Bools, Floats, Ints
from .mesh import Mesh


@dataclass(frozen=True)
class Drainage:
    """Receiver of each point (itself at an end), and all points, ends first."""

    receiver: Ints
    order: Ints


def drain(mesh: Mesh, height_m: Floats, is_end: Bools) -> Drainage:
    """Steepest descent, with every hollow emptied over its lowest rim."""
    receiver = _steepest(mesh, height_m, is_end)
    basin_root = receiver.copy()
    while True:
        further = basin_root[basin_root]
        if np.array_equal(further, basin_root):
            break
        basin_root = further
    _empty_hollows(mesh, height_m, is_end, receiver, basin_root)
    return Drainage(receiver, _downstream_first(receiver))


def _steepest(mesh: Mesh, height_m: Floats, is_end: Bools) -> Ints:
    fall = (height_m[mesh.edge_from] - height_m[mesh.edge_to]) / mesh.edge_km
    best = np.maximum.reduceat(fall, mesh.first_edge)
    is_best = np.flatnonzero(fall == best[mesh.edge_from])
    points, first = np.unique(mesh.edge_from[is_best], return_index=True)
    receiver = np.arange(len(height_m))
    receiver[points] = mesh.edge_to[is_best[first]]
    stays = is_end | (best <= 0.0)
    receiver[stays] = np.flatnonzero(stays)
    return receiver


def _empty_hollows(
    mesh: Mesh, height_m: Floats, is_end: Bools, receiver: Ints, basin_root: Ints
) -> None:
    """Turn round the path from each hollow's lowest pass (a spanning tree finds them all)."""
    hollows = np.flatnonzero((receiver == np.arange(len(receiver))) & ~is_end)
    if not len(hollows):
        return
    basin_of_root = np.zeros(len(receiver), dtype=np.int64)
    basin_of_root[hollows] = np.arange(1, len(hollows) + 1)
    basin = basin_of_root[basin_root]
    a, b = basin[mesh.edge_from], basin[mesh.edge_to]
    passes = np.flatnonzero(a != b)
    pass_m = np.maximum(height_m[mesh.edge_from[passes]], height_m[mesh.edge_to[passes]])
    order = np.lexsort((pass_m, b[passes], a[passes]))
    passes, pass_m = passes[order], pass_m[order]
    lead = np.r_[True, (np.diff(a[passes]) != 0) | (np.diff(b[passes]) != 0)]
    passes, pass_m = passes[lead], pass_m[lead]
    basins = len(hollows) + 1
    weight = pass_m - height_m.min() + 1.0
    graph = csr_matrix((weight, (a[passes], b[passes])), shape=(basins, basins))
    _, towards = breadth_first_order(minimum_spanning_tree(graph), 0, directed=False)
    pass_edge = {
        (from_, to): edge
        for from_, to, edge in zip(
            *(array.tolist() for array in (a[passes], b[passes], passes)), strict=True
        )
    }
    for basin_index, root in enumerate(hollows.tolist(), start=1):
        edge = pass_edge[(basin_index, int(towards[basin_index]))]
        point, below = int(mesh.edge_from[edge]), int(mesh.edge_to[edge])
        while True:
            onward = int(receiver[point])
            receiver[point] = below
            if point == root:
                break
            point, below = onward, point


def _downstream_first(receiver: Ints) -> Ints:
    points = len(receiver)
    ends = receiver == np.arange(points)
    above = np.where(ends, points, receiver)
    tree = csr_matrix((np.ones(points), (above, np.arange(points))), shape=(points + 1, points + 1))
    order, _ = breadth_first_order(tree, points)
    return np.asarray(order[1:], dtype=np.int64)


def accumulate(drainage: Drainage, own: Floats) -> Floats:
    """Sum of `own` over each point and everything above it."""
    total = own.tolist()
    receiver = drainage.receiver.tolist()
    for point in reversed(drainage.order.tolist()):
        if receiver[point] != point:
            total[receiver[point]] += total[point]
    return np.array(total)
