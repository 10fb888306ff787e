"""Which routes does PyVRP find for a run? The one module that knows that library.

A day is a vehicle type of its own. Worth goes in as prizes so much larger than a second of driving
that driving only ever decides between plans worth the same. On the way days may be too long, at a
price; what is given never is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from slackwater.progress import Progress
from slackwater.visits.problem import Problem
from slackwater.visits.routes import Order

if TYPE_CHECKING:
    from pyvrp import ProblemData, Solution

Whole = NDArray[np.int64]
STEPS_OF_WORTH = 100_000
"""So many steps of worth are told apart, up to the largest."""
SOFTEST_TIMES = 10
LONGER_S = 10**7
"""By so much a day may be longer where that is allowed: no day out takes four months."""


def search(
    problem: Problem,
    sites: Whole,
    progress: Progress,
    *,
    turns: int,
    seed: int,
    soft_s: int,
    start: Sequence[Order] = (),
) -> tuple[Order, ...] | None:
    """Search for the best routes through some sites; None where no run that fits was found.

    Parameters
    ----------
    sites : positions of those that may be seen; those that must be are.
    turns : of search, each counted in ``progress``.
    soft_s : on the way a day may be too long; by so many seconds costs as much as the dearest site.
    start : a run to begin from, sites of each day.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    data = _data(problem, sites, prizes=_prizes(problem, sites), required=problem.must[sites])
    found = _searched(data, sites, progress, turns, seed, soft_s, start)
    return _orders(found, sites, len(problem.days)) if found.is_feasible() else None


def shortest_over(
    problem: Problem, sites: Whole, progress: Progress, *, turns: int, seed: int
) -> tuple[tuple[Order, ...], int]:
    """Search for routes through all of some sites, days made longer where they must be.

    Returns
    -------
    orders : sites of each day.
    over_s : seconds by which the days together are too short; the least that was found.
    """
    none = np.zeros(len(sites), np.int64)
    data = _data(problem, sites, prizes=none, required=np.ones(len(sites), bool), longer=True)
    found = _searched(data, sites, progress, turns, seed, 1, ())
    return _orders(found, sites, len(problem.days)), int(found.overtime())


def _prizes(problem: Problem, sites: Whole) -> Whole:
    """(sites,) worth in steps, each dearer than all driving there can be."""
    worth = problem.worth[sites]
    steps = np.round(worth / max(float(worth.max(initial=0.0)), 1e-300) * STEPS_OF_WORTH)
    all_day_s = sum(day.length_s for day in problem.days) + 1
    prizes: Whole = steps.astype(np.int64) * all_day_s
    return prizes


def _data(
    problem: Problem,
    sites: Whole,
    *,
    prizes: Whole,
    required: NDArray[np.bool_],
    longer: bool = False,
) -> ProblemData:
    """Give the problem as the library wants it: the depots' places first, then the sites'."""
    from pyvrp import Client, Depot, Location, ProblemData, VehicleType  # noqa: PLC0415 - slow to load

    depots = sorted({day.depot for day in problem.days})
    places = np.concatenate(([problem.sites + depot for depot in depots], sites))
    travel = problem.travel_s[np.ix_(places, places)]
    np.fill_diagonal(travel, 0)
    dear = sum(day.length_s for day in problem.days) + LONGER_S
    return ProblemData(
        locations=[Location(0, 0)] * len(places),
        clients=[
            Client(
                len(depots) + at,
                service_duration=int(problem.service_s[site]),
                prize=int(prizes[at]),
                required=bool(required[at]),
            )
            for at, site in enumerate(sites)
        ],
        depots=[Depot(at) for at in range(len(depots))],
        vehicle_types=[
            VehicleType(
                start_depot=depots.index(day.depot),
                end_depot=depots.index(day.depot),
                shift_duration=day.length_s,
                max_overtime=LONGER_S if longer else 0,
                unit_overtime_cost=dear if longer else 0,
            )
            for day in problem.days
        ],
        distance_matrices=[travel],  # what is driven is counted in seconds
        duration_matrices=[travel],
    )


def _searched(
    data: ProblemData,
    sites: Whole,
    progress: Progress,
    turns: int,
    seed: int,
    soft_s: int,
    start: Sequence[Order],
) -> Solution:
    import pyvrp  # noqa: PLC0415 - slow to load
    from pyvrp.PenaltyManager import PenaltyParams  # noqa: PLC0415
    from pyvrp.stop import MaxIterations  # noqa: PLC0415

    ended = MaxIterations(turns)

    def stop(best_cost: int) -> bool:
        progress.advance(0)
        if ended(best_cost):
            return True
        progress.advance()
        return False

    dearest = float(max([1, *(client.prize for client in data.clients())]))

    class Penalties(PenaltyParams):
        """Begins where it is told; by itself it would begin as hard as a wall."""

        def midpoint_penalties(self, data: ProblemData) -> tuple[list[float], float, float]:  # noqa: ARG002
            return [], dearest / soft_s, dearest / soft_s

    penalties = Penalties(min_penalty=dearest / (SOFTEST_TIMES * soft_s), max_penalty=2 * dearest)
    params = pyvrp.SolveParams(penalty=penalties)
    own = {int(site): at for at, site in enumerate(sites)}
    begun = [
        pyvrp.Route(data, [own[site] for site in order], day)
        for day, order in enumerate(start)
        if order
    ]
    first = pyvrp.Solution(data, begun) if begun else None
    progress.expect(turns)
    result = pyvrp.solve(
        data, stop, seed, collect_stats=False, params=params, initial_solution=first
    )
    best: Solution = result.best
    return best


def _orders(found: Solution, sites: Whole, days: int) -> tuple[Order, ...]:
    orders: list[Order] = [()] * days
    for route in found.routes():
        orders[route.vehicle_type()] = tuple(
            int(sites[visit.idx]) for visit in route if visit.is_client()
        )
    return tuple(orders)
