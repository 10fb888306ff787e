"""The score of a whole catchment, in the form of the data contract: the model page, sections 1 to
9.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .rank import (
    cost_criterion,
    further_criterion,
    in_order,
    risk_criterion,
    score_of,
    weights_in_thousandths,
)
from .reading import read_catchment
from .screens import best_option, capital, life_cycle_cost
from .seasons import River, prepare_river
from .tables import Option
from .yearly import (
    YearResult,
    gain_adults,
    loss_adults,
    mean_over,
    overlap_of_year,
    results_by_year,
    thirds,
    volume_ml,
)


@dataclass(frozen=True)
class Scored:
    """The river, its years, and what follows for each offtake."""

    river: River
    results: dict[int, YearResult]
    order: list[str]  # offtakes by rank
    criteria: dict[str, list[float]]  # by offtake: risk, overlap, cost, further ones
    score: dict[str, float]
    best: dict[str, Option | None]
    gain_adults: dict[str, dict[str, float]]  # by offtake and option
    loss_adults: dict[str, float]

    def mean(self, by_year: dict[int, float], years: list[int] | None = None) -> float:
        """The model page, section 6: the mean over the used years, or over some of them."""
        used = self.river.years if years is None else years
        return mean_over(used, by_year, self.river.catchment.settings.year_weights)


def score(folder: Path) -> dict[str, Any]:
    """The model page, sections 1 to 9: the JSON of the score command, without the data version."""
    scored = score_catchment(folder)
    rows = [
        offtake_row(scored, offtake_id, rank)
        for rank, offtake_id in enumerate(scored.order, start=1)
    ]
    return {
        "catchment": scored.river.catchment.settings.name,
        "years": scored.river.years,
        "offtakes": rows,
        "balance": {g: balance_of(scored, g) for g in scored.river.catchment.guilds},
    }


def score_catchment(folder: Path) -> Scored:
    """The model page, sections 1 to 9: everything that the score rests on."""
    river = prepare_river(read_catchment(folder))
    results, catchment = results_by_year(river), river.catchment
    settings = catchment.settings

    def mean(by_year: dict[int, float]) -> float:
        return mean_over(river.years, by_year, settings.year_weights)

    loss, overlap, gains, best, costs = {}, {}, {}, {}, {}
    for i, offtake in catchment.offtakes.items():
        loss[i] = mean({y: loss_adults(river, results[y], offtake) for y in river.years})
        overlap[i] = mean({y: overlap_of_year(river, results[y], i) for y in river.years})
        gains[i] = {
            o: mean({y: gain_adults(river, results[y], offtake, o) for y in river.years})
            for o in catchment.options
        }
        option = best_option(offtake, gains[i], river)
        best[i] = option
        costs[i] = None if option is None else life_cycle_cost(offtake, option, catchment)
    known_costs = [cost for cost in costs.values() if cost is not None]
    weights = weights_in_thousandths(
        [*settings.weights, *(c.weight for c in settings.further_criteria)]
    )
    criteria = {
        i: [
            risk_criterion(loss[i], max(loss.values())),
            overlap[i],
            cost_criterion(costs[i], known_costs),
            *(further_criterion(offtake, c, river) for c in settings.further_criteria),
        ]
        for i, offtake in catchment.offtakes.items()
    }
    scores = {i: score_of(criteria[i], weights) for i in criteria}
    return Scored(river, results, in_order(scores, loss), criteria, scores, best, gains, loss)


def offtake_row(scored: Scored, offtake_id: str, rank: int) -> dict[str, Any]:
    """The data contract, `score`: one offtake."""
    river, results = scored.river, scored.results
    offtake, option = river.catchment.offtakes[offtake_id], scored.best[offtake_id]
    guilds, years = river.catchment.guilds, river.years
    groups = thirds(river, results)
    loss_by_year = {y: loss_adults(river, results[y], offtake) for y in years}
    gain = dict.fromkeys(guilds, 0.0)
    spent = cost = None
    if option is not None:
        spent = capital(offtake, option, river.catchment)
        cost = life_cycle_cost(offtake, option, river.catchment)
        for g in guilds:
            gain[g] = scored.mean(
                {y: results[y].losses[g][offtake_id].gain[option.option_id] for y in years}
            )
    adults = 0.0 if option is None else scored.gain_adults[offtake_id][option.option_id]
    return {
        "offtake_id": offtake_id,
        "rank": rank,
        "score": scored.score[offtake_id],
        "taken": {
            g: scored.mean({y: results[y].losses[g][offtake_id].taken for y in years})
            for g in guilds
        },
        "loss": {
            g: scored.mean({y: results[y].losses[g][offtake_id].loss for y in years})
            for g in guilds
        },
        "loss_adults": scored.loss_adults[offtake_id],
        "loss_adults_dry": scored.mean(loss_by_year, groups["dry"]),
        "loss_adults_median": scored.mean(loss_by_year, groups["median"]),
        "loss_adults_wet": scored.mean(loss_by_year, groups["wet"]),
        "overlap": scored.criteria[offtake_id][1],
        "volume_ml": scored.mean({y: volume_ml(results[y].river_year, offtake_id) for y in years}),
        "best_option": None if option is None else option.option_id,
        "gain": gain,
        "gain_adults": adults,
        "capital": spent,
        "life_cycle_cost": cost,
        "gain_per_1000": 0.0 if cost is None else 1000 * adults / cost,
    }


def balance_of(scored: Scored, guild_id: str) -> dict[str, float]:
    """The data contract, `score`: heads; stranded and weir deaths are part of died."""
    outcomes = {y: scored.results[y].outcomes[guild_id] for y in scored.river.years}
    return {
        "produced": scored.mean({y: outcome.produced for y, outcome in outcomes.items()}),
        "settled": scored.mean(
            {y: sum(outcome.settled.values()) for y, outcome in outcomes.items()}
        ),
        "died": scored.mean({y: outcome.died for y, outcome in outcomes.items()}),
        "stranded": scored.mean({y: outcome.stranded for y, outcome in outcomes.items()}),
        "taken": scored.mean({y: sum(outcome.taken.values()) for y, outcome in outcomes.items()}),
        "left": scored.mean({y: outcome.left for y, outcome in outcomes.items()}),
    }
