"""Which lines do the rivers take, and where do they meet?

Larger streams are laid first; each smaller one ends where it first comes near a line that lies
already. So no two ever cross, and what meets, meets in a point of both.
"""

from dataclasses import dataclass

import numpy as np

from .anabranch import make_anabranch
from .chains import Chain, find_chains
from .frame import Floats
from .laying import LEAST_LENGTH_KM, lay
from .meander import Course, smoothed, wander
from .noise import Field, smoothstep
from .river import River
from .terrain import Country


@dataclass(frozen=True)
class Network:
    """The rivers (the main one first, the anabranch second) and the loops they have left."""

    rivers: list[River]
    chains: list[Chain]
    chain_of_river: list[int]
    old_arms_km: list[Floats]


def belt_width_km(runoff_km2: Floats) -> Floats:
    """The width that sets the size of bends, drawn larger than life to be seen on a map."""
    return np.asarray(0.088 * (runoff_km2 / 30.0) ** 0.13)


def make_network(country: Country, calm: Field) -> Network:
    """Lay the river, its anabranch, then every other stream by size."""
    chains = find_chains(country)
    old_arms: list[Floats] = []
    main = wander(_course(country, chains[0], calm), 600, old_arms)
    rivers = [River(main.line_km[: -round(1.2 / 0.12)], -1)]
    rivers.append(make_anabranch(rivers[0], old_arms))
    chain_of_river = [0, -1]
    lengths_km = [
        float(np.hypot(*np.diff(country.mesh.points_km[chain.points], axis=0).T).sum())
        for chain in chains
    ]
    by_size = sorted(range(1, len(chains)), key=lambda i: -float(chains[i].runoff_km2[-1]))
    for index in by_size:
        if lengths_km[index] < LEAST_LENGTH_KM:
            continue
        river = lay(_course(country, chains[index], calm), rivers, old_arms)
        if river is not None:
            rivers.append(river)
            chain_of_river.append(index)
    return Network(rivers, chains, chain_of_river, old_arms)


def _course(country: Country, chain: Chain, calm: Field) -> Course:
    line = country.mesh.points_km[chain.points]
    lively = 0.75 + 0.25 * np.tanh(1.5 * calm.at(*line.T))
    freedom = (0.12 + 0.88 * smoothstep(1.0 - 1.4 * country.hilliness[chain.points])) * lively
    course = Course(line, belt_width_km(chain.runoff_km2), freedom).respaced()
    return smoothed(course, 150)
