"""The list by score a browser draws up from the columns is the one the server would fund."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest

from slackwater.decisions.by_score import fund_by_score
from slackwater.decisions.score import Ranking, to_thousandths
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import by_score, sites_of
from slackwater.desk.map_view import MapView, open_map_view
from slackwater.desk.visibility import Viewer
from slackwater.errors import NoSetPossible
from tests.contracts.invented_views import SEEDS, invented_view
from tests.contracts.small_view import QUOTE, small_view

DEMO = Path(__file__).parents[2] / "demo_data" / "lantern.gpkg"


@dataclass(frozen=True)
class Drawn:
    """What a browser draws up: rows that are funded with their costs, or what is missing."""

    costs: dict[int, float]
    spent: float
    short_by: float = 0.0


def draw_up(columns: dict[str, Any], weights: Sequence[int], budget: float) -> Drawn:
    """Fund by score from the columns alone, as the page does."""
    state, cost, least = (columns[n] for n in ("fund_state", "fund_cost", "fund_cost_least"))
    committed = [row for row, each in enumerate(state) if each == 2]
    most = budget * (1 + 1e-9)
    for prices in (cost, least):
        costs = {row: prices[row] for row in committed}
        spent = 0.0
        for row in committed:
            spent += costs[row]
        if spent <= most:
            break
    else:
        return Drawn({}, spent, spent - budget)
    three = [columns[name] for name in ("risk", "overlap", "cost")]
    criteria = [*three, *columns["criteria"].values()]
    scores = [
        sum(w * values[row] for w, values in zip(weights, criteria, strict=True))
        for row in range(columns["count"])
    ]
    for row in sorted(range(len(scores)), key=lambda r: (-scores[r], columns["tie_order"][r])):
        if state[row] == 1 and spent + cost[row] <= most:
            costs[row] = cost[row]
            spent += cost[row]
    return Drawn(costs, spent)


def weighted(evaluation: Evaluation, weights: Sequence[int]) -> Evaluation:
    """Give the evaluation ranked by other weights."""
    ranking: Ranking = evaluation.ranking
    whole = np.array(weights) @ ranking.values_millionths
    order = np.array(sorted(ranking.tie_order, key=lambda i: -whole[i]))
    return replace(evaluation, ranking=replace(ranking, score=whole / 1e9, order=order))


def tries(view: MapView, columns: dict[str, Any], number: int) -> list[tuple[list[int], float]]:
    """Give weightings with budgets from nothing to more than enough, some on the very edge."""
    chance = Random(7)
    costs = [each for each in columns["fund_cost"] if each is not None] or [1.0]
    names = view.evaluation.ranking.criteria
    return [
        (
            to_thousandths([chance.random() for _ in names]).tolist(),
            chance.choice([0.0, sum(costs), chance.choice(costs), chance.random() * sum(costs)]),
        )
        for _ in range(number)
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_browsers_list_by_score_is_the_servers(seed: int) -> None:
    """For many budgets and weights the same codes at the same costs, or as much missing."""
    view = invented_view(seed)
    columns = view.offtakes(Viewer.LEAD)
    codes = columns["offtake_id"]
    for weights, budget in tries(view, columns, 60):
        drawn = draw_up(columns, weights, budget)
        ranked = weighted(view.evaluation, weights)
        if drawn.short_by:
            with pytest.raises(NoSetPossible) as refused:
                by_score(ranked, budget)
            assert drawn.short_by == refused.value.clash[0]["short_by"]
            continue
        funded = by_score(ranked, budget)
        assert drawn.spent == funded.spent
        assert {codes[row]: cost for row, cost in drawn.costs.items()} == {
            code: cost for code, _, cost in funded.chosen
        }


@cache
def demo() -> MapView:
    return open_map_view(DEMO)


def test_the_browsers_list_of_the_demo_is_the_servers() -> None:
    """Over 200 weightings and budgets of the demo the rows and the sums agree to the last bit."""
    view = demo()
    columns = view.offtakes(Viewer.LEAD)
    sites, options = sites_of(view.evaluation), view.catchment.table("options").keys
    for weights, budget in tries(view, columns, 200):
        drawn = draw_up(columns, weights, budget)
        order = weighted(view.evaluation, weights).ranking.order
        if drawn.short_by:
            with pytest.raises(NoSetPossible) as refused:
                fund_by_score(sites, order, options, budget)
            assert drawn.short_by == refused.value.clash[0]["short_by"]
            continue
        chosen = fund_by_score(sites, order, options, budget)
        assert (drawn.spent, set(drawn.costs)) == (chosen.spent, {int(p) for p, _ in chosen.picks})


@pytest.mark.parametrize("seed", SEEDS)
def test_a_site_is_left_out_with_a_reason_or_has_a_cost(seed: int) -> None:
    """State 0 has a reason and no cost, 1 and 2 a cost and no reason, 2 alone a least cost."""
    columns = invented_view(seed).offtakes(Viewer.LEAD)
    names = ("fund_state", "fund_cost", "fund_cost_least", "not_funded_because")
    for state, cost, least, reason in zip(*(columns[name] for name in names), strict=True):
        assert (reason is not None) is (state == 0)
        assert (cost is not None) is (state != 0)
        assert (least is not None) is (state == 2)


def test_reasons_are_plain_words() -> None:
    """The small catchment's channel is out for its landholder, who is not willing, in words."""
    view = small_view()
    assert view.offtakes(Viewer.AGENCY)["not_funded_because"][2] == "the landholder is not willing"


def test_a_cost_from_a_quote_is_not_the_agencys() -> None:
    """Pump B's cost to the fund is four fifths of its quote, for the lead alone."""
    view = small_view()
    lead, agency, public = (view.offtakes(viewer) for viewer in reversed(Viewer))
    assert lead["fund_cost"][1] == float(QUOTE) * 0.8
    assert agency["fund_cost"][1] is agency["upkeep_per_year"][1] is None
    assert agency["fund_cost"][0] is not None
    assert not [name for name in public if name.startswith(("fund", "not_funded", "upkeep"))]


def test_the_budget_hint_is_a_third_of_what_all_would_cost() -> None:
    """Two digits of a third of all eligible costs; the agency's leaves quotes out, the public's is
    nothing."""
    view = small_view()
    columns = view.offtakes(Viewer.LEAD)
    eligible = [
        cost
        for cost, state in zip(columns["fund_cost"], columns["fund_state"], strict=True)
        if state == 1
    ]
    assert view.facts(Viewer.LEAD)["budget_hint"] == float(f"{sum(eligible) / 3:.2g}")
    assert view.facts(Viewer.AGENCY)["budget_hint"] == float(f"{columns['fund_cost'][0] / 3:.2g}")
    assert view.facts(Viewer.PUBLIC)["budget_hint"] is None
