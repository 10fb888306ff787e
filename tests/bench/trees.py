"""Invented river trees for funding at any size: what decisions ask of a river, and nothing else.

Drifters of every class (a guild in a season-year) are born at the head of a reach and pass its
offtakes one by one; on each stretch a share settles, a share dies and the rest goes on. Down the
tree go drifters, up it goes what one of them is worth, all classes side by side.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numba import njit
from numpy.typing import NDArray

from slackwater.decisions.by_score import Site
from slackwater.decisions.gains import Gains
from slackwater.decisions.rules import Conditions, Round
from tests.bench.rivers import tree

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]

USUAL, STRONG = (0.001, 0.05), (0.01, 0.40)
"""Least and most share of the drifters passing that an offtake takes."""
DRIFT_KM = (25.0, 80.0, 250.0)
"""Distance over which each guild's drifters become e times fewer."""
KEEPS_OUT = (0.45, 0.65, 0.80, 0.94)
"""Share that each option keeps out, about: it varies by guild, so they need not form a chain."""
FIXED, DEAREST = 15e3, (60e3, 95e3, 135e3, 185e3)
"""Money for any screen, and what an option adds at the largest offtakes."""
SCALE_EXPONENT = 0.6
FITTED_SHARE, INFEASIBLE_SHARE, DISTRICTS = 0.1, 0.1, 8


@dataclass(frozen=True)
class Tree:
    """A river as decisions see it; nodes are heads of reaches and offtakes, the outlet's first.

    Attributes
    ----------
    below : (nodes,) node that each flows to, always an earlier one; -1 at the outlet.
    node : (offtakes,) node of each.
    guild : (classes,) guild of each; together they are whole guilds in order.
    born : (nodes, classes) drifters that start at a node, in heads times the year's weight.
    taken : (nodes, classes) share of those passing that is taken, 0 where there is no offtake.
    stays : (nodes, classes) share of those past a node that reach the next.
    settles : (nodes, classes) adults a drifter past the node gives on the stretch below it.
    """

    below: Positions
    node: Positions
    guild: Positions
    born: Numbers
    taken: Numbers
    stays: Numbers
    settles: Numbers

    @cached_property
    def guilds(self) -> int:
        """How many there are."""
        return int(self.guild[-1]) + 1

    def worth_adults(self, keeps_out: Numbers) -> Numbers:
        """(assignments,) worth under each of (assignments, guilds, offtakes)."""
        found = np.empty(len(keeps_out))
        for position, keeps in enumerate(keeps_out):
            goes_on = self.goes_on(keeps)
            found[position] = (self.arriving(goes_on) * goes_on * self.settles).sum()
        return found

    def exposed_adults(self, keeps_above: Numbers, keeps_below: Numbers) -> Numbers:
        """(guilds, offtakes) gain of a share more kept out, other screens as given."""
        exposed = np.empty((len(self.node), len(self.guild)))
        arriving, below = self.arriving(self.goes_on(keeps_above)), self.goes_on(keeps_below)
        _up(self.below, self.node, below, self.stays, self.settles, self.taken, arriving, exposed)
        first = np.searchsorted(self.guild, np.arange(self.guilds))
        return np.ascontiguousarray(np.add.reduceat(exposed, first, axis=1).T)

    def goes_on(self, keeps_out: Numbers) -> Numbers:
        """(nodes, classes) share that passes each node, under (guilds, offtakes) kept out."""
        passes = np.ones_like(self.taken)
        passes[self.node] -= self.taken[self.node] * (1.0 - keeps_out[self.guild].T)
        return passes

    def arriving(self, goes_on: Numbers) -> Numbers:
        """(nodes, classes) drifters that come to each node."""
        arriving = self.born.copy()
        _down(self.below, goes_on, self.stays, arriving)
        return arriving


@njit(nogil=True, cache=True)
def _down(below: Positions, goes_on: Numbers, stays: Numbers, arriving: Numbers) -> None:
    """Add to ``arriving``, which holds the births, what comes from above."""
    for node in range(len(below) - 1, 0, -1):
        for c in range(arriving.shape[1]):
            arriving[below[node], c] += arriving[node, c] * goes_on[node, c] * stays[node, c]


@njit(nogil=True, cache=True)
def _up(
    below: Positions, node_of: Positions, goes_on: Numbers, stays: Numbers, settles: Numbers,
    taken: Numbers, arriving: Numbers, exposed: Numbers,
) -> None:  # fmt: skip
    """Set ``exposed`` (offtakes, classes) to what is taken times its worth had it passed."""
    classes = arriving.shape[1]
    coming = np.zeros((len(below), classes))
    offtake = 0
    for node in range(len(below)):
        here = offtake < len(node_of) and node_of[offtake] == node
        for c in range(classes):
            past = settles[node, c]
            if node > 0:
                past += stays[node, c] * coming[below[node], c]
            coming[node, c] = goes_on[node, c] * past
            if here:
                exposed[offtake, c] = arriving[node, c] * taken[node, c] * past
        if here:
            offtake += 1


@dataclass(frozen=True)
class Funding:
    """A tree with all that a funding round needs."""

    tree: Tree
    gains: Gains
    round: Round


def make_funding(
    offtakes: int,
    seed: int,
    *,
    shares: tuple[float, float] = USUAL,
    guilds: int = 3,
    years: int = 4,
    options: int = 4,
    budget_share: float = 0.1,
) -> Funding:
    """Invent a river of ``offtakes`` on half as many reaches, its screens and their prices.

    The budget is ``budget_share`` of what the dearest screen everywhere would cost.
    """
    rng = np.random.default_rng(seed)
    size = rng.uniform(0.0, 1.0, offtakes)  # 0 at 2 ML a day, 1 at 100
    made = _make_tree(size, shares, guilds, years, rng)
    kept = np.clip(
        np.array(KEEPS_OUT)[:options, None] + rng.uniform(-0.12, 0.05, (options, guilds)), 0.05, 1.0
    )
    scale = 50.0 ** (SCALE_EXPONENT * (size - 1.0))
    noise = rng.uniform(0.85, 1.2, (offtakes, options))
    cost = np.round(FIXED + np.array(DEAREST)[:options] * scale[:, None] * noise, -2)
    fitted = np.zeros((guilds, offtakes))
    old = rng.random(offtakes) < FITTED_SHARE
    fitted[:, old] = 0.9 * kept[rng.integers(0, options, old.sum())].T
    feasible = rng.random((offtakes, options)) >= INFEASIBLE_SHARE
    feasible &= (kept[None] > fitted.T[:, None]).any(axis=2)  # none that only worsens
    per_share = made.exposed_adults(fitted, fitted).sum(axis=0)
    residents = 0.05 * np.outer(rng.uniform(0.0, per_share.mean(), offtakes), kept.mean(axis=1))
    gains = Gains(made, fitted, kept, residents, feasible)
    sites = [
        Site(
            offtake_id=f"o{i:06d}", committed=False, eligible=bool(feasible[i].any()),
            quote_option=-1, best_option=-1,
            cost={int(o): float(cost[i, o]) for o in np.flatnonzero(feasible[i])},
        )
        for i in range(offtakes)
    ]  # fmt: skip
    districts = [f"district {i * DISTRICTS // offtakes}" for i in range(offtakes)]
    names = [f"option {o}" for o in range(options)]
    most = sum(max(site.cost.values(), default=0.0) for site in sites)
    return Funding(made, gains, Round(sites, districts, names, budget_share * most, Conditions()))


def _make_tree(
    size: Numbers, shares: tuple[float, float], guilds: int, years: int, rng: np.random.Generator
) -> Tree:
    """A tree with an offtake for each of ``size``, which leans towards a larger share taken."""
    offtakes = len(size)
    reaches = max(2, offtakes // 2)
    below_reach = tree(reaches, rng)
    reach = np.sort(rng.integers(0, reaches, offtakes))
    count = np.bincount(reach, minlength=reaches)
    head = np.cumsum(count + 1) - 1
    below = np.arange(reaches + offtakes) - 1
    below[head[1:] - count[1:]] = head[below_reach[1:]]
    node = np.setdiff1d(np.arange(len(below)), head)
    guild = np.repeat(np.arange(guilds), years)
    born = np.zeros((len(below), len(guild)))
    spawning = rng.random((reaches, guilds)) < 0.5
    heads = np.exp(rng.normal(9.0, 1.2, (reaches, guilds))) * spawning
    born[head] = heads[:, guild] * np.tile(rng.uniform(0.3, 1.0, years), guilds) / years
    low, high = np.log(shares)
    level = 0.5 * size + 0.5 * rng.uniform(0.0, 1.0, offtakes)
    taken = np.zeros_like(born)
    varied = rng.normal(0.0, 0.3, len(guild)) + rng.normal(0.0, 0.2, (offtakes, len(guild)))
    taken[node] = np.exp(np.clip(low + (high - low) * level[:, None] + varied, low, high))
    km = rng.uniform(0.3, 3.0, len(below))[:, None] * rng.uniform(0.7, 1.4, len(guild))
    stays = np.exp(-km / np.resize(DRIFT_KM, guilds)[guild])
    adults = rng.uniform(0.2, 1.0, (len(below), 1)) * rng.uniform(5e-4, 5e-3, guilds)[guild]
    return Tree(below, node, guild, born, taken, stays, 0.6 * (1.0 - stays) * adults)
