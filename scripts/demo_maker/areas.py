"""How much land, and how much rain, lies above the lower end of each reach?"""

import numpy as np

from .frame import Floats
from .reaches import Reach, outflows, upstream_first
from .rivers import Network
from .routing import accumulate
from .terrain import Country


def measure(country: Country, network: Network, reaches: list[Reach]) -> None:
    """Areas: what each river's head and banks bring, summed downstream."""
    mesh = country.mesh
    area = accumulate(country.drainage, np.full(len(mesh.points_km), mesh.cell_km2))
    runoff = accumulate(country.drainage, country.runoff * mesh.cell_km2)
    order = upstream_first(reaches)
    for attribute, values in (("area_km2", area), ("runoff_km2", runoff)):
        own = _own_by_river(network, values)
        sums = [0.0] * len(reaches)
        for position in order:
            reach = reaches[position]
            head, banks = own[reach.river]
            length_km = network.rivers[reach.river].shape.length
            sums[position] += banks * reach.length_m / 1000.0 / length_km
            sums[position] += head if reach.number == 0 else 0.0
            setattr(reach, attribute, sums[position])
            for below, share in outflows(reach):
                sums[below] += share * sums[position]
    _mark_arms(reaches)


def _own_by_river(network: Network, past_point: Floats) -> list[tuple[float, float]]:
    river_of_chain = {
        chain: river for river, chain in enumerate(network.chain_of_river) if chain >= 0
    }
    own = [0.0] * len(network.rivers)
    for chain_index, river in river_of_chain.items():
        chain = network.chains[chain_index]
        mouth = float(past_point[chain.points[-2]])
        own[river] += mouth
        ancestor = chain.parent
        while ancestor >= 0 and ancestor not in river_of_chain:
            ancestor = network.chains[ancestor].parent
        if ancestor >= 0:
            own[river_of_chain[ancestor]] -= mouth
    split = []
    for river, chain_index in enumerate(network.chain_of_river):
        head = float(past_point[network.chains[chain_index].points[0]]) if chain_index >= 0 else 0.0
        head = min(head, 0.95 * max(own[river], 0.0))
        split.append((head, max(own[river] - head, 0.0)))
    return split


def _mark_arms(reaches: list[Reach]) -> None:
    """Reaches between the split and where all its water is together again."""
    share = [1.0] * len(reaches)
    arriving: dict[int, float] = {}
    for position in upstream_first(reaches):
        reach = reaches[position]
        share[position] = min(arriving.get(position, 1.0), 1.0)
        reach.is_arm = share[position] < 1.0 - 1e-9
        for below, part in outflows(reach):
            if reach.splits or reach.is_arm:
                arriving[below] = arriving.get(below, 0.0) + part * share[position]
