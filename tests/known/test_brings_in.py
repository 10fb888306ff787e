"""What would bring an offtake of the worked catchment in, or put it out, applied by funding it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from slackwater.decisions.entry_budget import COARSE
from slackwater.decisions.money import money_step
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import fund
from slackwater.desk.brings_in import brings_in, entry_sentence
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.opening import open_catchment
from slackwater.progress import Progress

WORKED = Path(__file__).parents[3] / "shared" / "worked"
BUDGET = 175_000.0

pytestmark = pytest.mark.skipif(
    not WORKED.exists(), reason="the worked catchment is not beside the project"
)


def funded(evaluation: Evaluation, budget: float) -> set[str]:
    """Who is in the best set."""
    return {offtake_id for offtake_id, _, _ in fund(evaluation, budget).best.chosen}


def dearer(evaluation: Evaluation, site: int, times: float) -> Evaluation:
    """The evaluation with every option at a site so much dearer."""
    capital = evaluation.costs.capital.copy()
    capital[site] *= times
    return replace(evaluation, costs=replace(evaluation.costs, capital=capital))


def test_every_figure_is_right_when_applied() -> None:
    """At the figure the site is in, a step beyond it is out; where there is none, a reason."""
    evaluation = evaluate(open_catchment(WORKED / "catchment").catchment)
    now, step = funded(evaluation, BUDGET), COARSE * money_step(BUDGET)
    told = 0
    for site, code in enumerate(evaluation.catchment.table("offtakes").keys):
        entry = brings_in(evaluation, BUDGET, Conditions(), code, [], Progress())
        assert entry.inside == (code in now)
        assert entry_sentence(entry, "a screen", "CDL").endswith(".")
        if entry.least_budget is not None:
            told += 1
            assert code in funded(evaluation, entry.least_budget)
            assert code not in funded(evaluation, max(0.0, entry.least_budget - step))
        if entry.highest_cost is not None:
            told += 1
            more = entry.highest_cost + money_step(entry.highest_cost)
            assert entry.cost_now is not None
            for cost, inside in ((entry.highest_cost, True), (more, False)):
                there = dearer(evaluation, site, cost / entry.cost_now)
                assert (code in funded(there, BUDGET)) == inside
        assert bool(entry.why_not) == (entry.least_budget is None and entry.highest_cost is None)
    assert told > 0
