"""Which streams are there, from the head of each to where it meets a larger one?"""

from dataclasses import dataclass

import numpy as np

from .frame import Bools, Floats, Ints
from .routing import accumulate
from .terrain import Country

HEAD_RUNOFF_KM2 = 36.0


@dataclass(frozen=True)
class Chain:
    """Points of one stream downstream, with the runoff-weighted area (km2) past each of them.

    The last point lies on the larger stream (`parent`, a position in the list; -1 for the river
    itself, which ends in the lake).
    """

    points: Ints
    runoff_km2: Floats
    parent: int


def find_chains(country: Country) -> list[Chain]:
    """The river first, then every stream after the one that it joins.

    A stream begins where enough rain has gathered, which takes a wide area on the dry plain.
    """
    receiver = country.drainage.receiver
    runoff_km2 = accumulate(country.drainage, country.runoff * country.mesh.cell_km2)
    donors = _donors_largest_first(receiver, runoff_km2, runoff_km2 >= HEAD_RUNOFF_KM2)
    ends = np.flatnonzero(country.is_end)
    mouth = int(ends[np.argmax(runoff_km2[ends])])
    chains: list[Chain] = []
    waiting = [(mouth, -1, -1)]
    while waiting:
        lowest, joins_at, parent = waiting.pop(0)
        upward = [lowest]
        branches: list[int] = []
        while donors.get(upward[-1]):
            largest, *others = donors[upward[-1]]
            upward.append(largest)
            branches.extend(others)
        downward = upward[::-1] + ([joins_at] if joins_at >= 0 else [])
        points = np.array(downward, dtype=np.int64)
        flow = runoff_km2[points]
        if joins_at >= 0:
            flow[-1] = flow[-2]
        waiting.extend((branch, int(receiver[branch]), len(chains)) for branch in branches)
        chains.append(Chain(points, flow, parent))
    return chains


def _donors_largest_first(receiver: Ints, runoff_km2: Floats, wet: Bools) -> dict[int, list[int]]:
    donors: dict[int, list[int]] = {}
    for point in np.argsort(-runoff_km2, kind="stable").tolist():
        if wet[point] and receiver[point] != point:
            donors.setdefault(int(receiver[point]), []).append(point)
    return donors
