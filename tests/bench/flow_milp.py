"""The best set as one mixed-integer program of flows with losses: none of our bounds in it.

At each node a flow a class arrives, in shares of the largest it could be. At a site it divides
into what passes each option and what passes the screen of today; only the one in place may carry
any. Every arc loses its share, and what settles is the objective. Source: generalised flow (Ahuja,
Magnanti, Orlin 1993, Network Flows, chapter 15; from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from slackwater.decisions.by_score import Site
from slackwater.decisions.rules import Round
from tests.bench.trees import Funding, Numbers

Cells = NDArray[np.int64]
Entries = list[tuple[Numbers, Cells, Cells]]
FEWEST = 1e-9
"""Drifters that the largest flow is taken to be at least, since flows are shares of it."""


@dataclass(frozen=True)
class Program:
    """Unknowns: a share a choice (whole), a flow a node and class, one a choice and class.

    Attributes
    ----------
    sites, options : (choices,) positions.
    gain : (unknowns,) adults a unit of each gives; ``today`` adults are to be taken off the sum.
    matrix, least, most : the rows.
    """

    sites: Cells
    options: Cells
    gain: Numbers
    today: float
    matrix: sparse.csr_array
    least: Numbers
    most: Numbers


def walk(funding: Funding, keeps_out: Numbers) -> tuple[Numbers, float]:
    """(nodes, classes) drifters arriving and the adults a year that settle, node by node."""
    tree = funding.tree
    arriving, passing = tree.born.copy(), np.ones_like(tree.born)
    passing[tree.node] -= tree.taken[tree.node] * (1.0 - keeps_out[tree.guild].T)
    for node in range(len(arriving) - 1, 0, -1):
        arriving[tree.below[node]] += arriving[node] * passing[node] * tree.stays[node]
    return arriving, float((arriving * passing * tree.settles).sum())


def walked_benefit(funding: Funding, picks: Mapping[int, int]) -> float:
    """Adults a year that a set gains over today, by walking down twice."""
    gains = funding.gains
    keeps = gains.fitted.copy()
    for site, option in picks.items():
        keeps[:, site] = gains.kept[option]
    residents = float(sum(gains.residents[site, option] for site, option in picks.items()))
    return walk(funding, keeps)[1] - walk(funding, gains.fitted)[1] + residents


def flow_program(funding: Funding) -> Program:
    """Write the program of a round."""
    tree, gains = funding.tree, funding.gains
    sites, options, cost = _choices(funding.round)
    node = tree.node[sites]
    offered = np.where(gains.feasible.T[:, None], gains.kept[:, :, None], 0.0)
    largest = np.maximum(walk(funding, np.maximum(offered.max(axis=0), gains.fitted))[0], FEWEST)
    passing = np.ones_like(tree.born)
    passing[tree.node] -= tree.taken[tree.node] * (1.0 - gains.fitted[tree.guild].T)
    more = gains.kept[options][:, tree.guild] - gains.fitted[tree.guild][:, sites].T
    past, saved = largest * passing, (largest * tree.taken)[node] * more
    flow = len(sites) + np.arange(largest.size).reshape(largest.shape)
    through = len(sites) + flow.size + np.arange(saved.size).reshape(saved.shape)
    blocks = [
        *_round_rows(funding.round, sites, cost),
        _balance_rows(funding, largest, (flow, past), (through, saved, node)),
        *_carrying_rows(flow, through, node),
    ]
    unknowns = len(sites) + flow.size + saved.size
    return Program(
        sites, options,
        np.concatenate((gains.residents[sites, options], (past * tree.settles).ravel(),
                        (saved * tree.settles[node]).ravel())),
        walk(funding, gains.fitted)[1],
        sparse.vstack([_entered(entries, (len(low), unknowns)) for entries, low, _ in blocks]),
        np.concatenate([low for _, low, _ in blocks]),
        np.concatenate([high for _, _, high in blocks]),
    )  # fmt: skip


def _choices(round_: Round) -> tuple[Cells, Cells, Numbers]:
    """(choices,) site, option and cost of all that may be chosen."""

    def options(site: Site) -> list[int]:
        if site.committed:
            return [site.quote_option] if site.quote_option >= 0 else list(site.cost)
        barred = site.offtake_id in round_.conditions.left_out or not site.eligible
        return [] if barred else list(site.cost)

    listed = [(i, o, s.cost[o]) for i, s in enumerate(round_.sites) for o in options(s)]
    sites, chosen, cost = zip(*listed, strict=True)
    return np.array(sites), np.array(chosen), np.array(cost)


def _round_rows(
    round_: Round, sites: Cells, cost: Numbers
) -> list[tuple[Entries, Numbers, Numbers]]:
    """Money in budgets, one option a site, what is kept in, districts, installs."""
    conditions, choice = round_.conditions, np.arange(len(sites))
    money, one = cost / round_.budget, np.ones(len(sites))
    present, row = np.unique(sites, return_inverse=True)
    kept = [
        round_.sites[i].committed or round_.sites[i].offtake_id in conditions.kept_in
        for i in present
    ]
    district = np.array([round_.districts[i] for i in sites])
    never, most = np.array([-np.inf]), conditions.most_installs
    rows = [
        ([(money, 0 * choice, choice)], never, np.array([1.0])),
        ([(one, row, choice)], np.array(kept, float), np.ones(len(present))),
    ]
    if most is not None:
        rows.append(([(one, 0 * choice, choice)], never, np.array([float(most)])))
    for name, share in conditions.district_least.items():
        rows.append(([(money * (district == name), 0 * choice, choice)], np.array([share]), -never))
    for name, share in conditions.district_most.items():
        rows.append(([(money * (district == name), 0 * choice, choice)], never, np.array([share])))
    return rows


def _balance_rows(
    funding: Funding,
    largest: Numbers,
    whole: tuple[Cells, Numbers],
    chosen: tuple[Cells, Numbers, Cells],
) -> tuple[Entries, Numbers, Numbers]:
    """What arrives less what comes from above is what is born, in shares of the largest."""
    tree = funding.tree
    (flow, past), (through, saved, node) = whole, chosen
    cell = np.arange(flow.size).reshape(flow.shape)
    above = np.flatnonzero(tree.below >= 0)
    carries = np.flatnonzero(tree.below[node] >= 0)
    into, saved_into = tree.below[above], tree.below[node[carries]]
    share = (past * tree.stays)[above] / largest[into]
    saved_share = (saved * tree.stays[node])[carries] / largest[saved_into]
    entries = [
        (np.ones(cell.shape), cell, flow),
        (-share, cell[into], flow[above]),
        (-saved_share, cell[saved_into], through[carries]),
    ]
    born = (tree.born / largest).ravel()
    return entries, born, born


def _carrying_rows(
    flow: Cells, through: Cells, node: Cells
) -> list[tuple[Entries, Numbers, Numbers]]:
    """A choice carries at most its share, all of a site at most what arrives there.

    And what today's screen is left with is at most what remains of 1.
    """
    one, cell = np.ones(through.shape), np.arange(through.size).reshape(through.shape)
    choice = np.broadcast_to(np.arange(len(node))[:, None], through.shape)
    present, row = np.unique(node, return_inverse=True)
    own = np.arange(len(present) * flow.shape[1]).reshape(len(present), -1)
    all_of_it = [(one, own[row], through), (-np.ones(own.shape), own, flow[present])]
    none, many = np.zeros(own.size), np.full(own.size, np.inf)
    return [
        ([(one, cell, through), (-one, cell, choice)], np.full(cell.size, -np.inf),
         np.zeros(cell.size)),
        (all_of_it, -many, none),
        ([*all_of_it, (-one, own[row], choice)], none - 1.0, many),
    ]  # fmt: skip


def _entered(entries: Entries, shape: tuple[int, int]) -> sparse.csr_array:
    value, row, column = (np.concatenate([e[i].ravel() for e in entries]) for i in range(3))
    return sparse.csr_array((value, (row, column)), shape=shape)
