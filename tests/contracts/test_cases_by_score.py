"""A case by score holds what the page works out itself, for any weights, to the last place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slackwater.decisions.score import rank_offtakes
from slackwater.desk.funding import by_score, sites_of
from slackwater.desk.listed import list_by_score, moved_weights, with_weight
from slackwater.errors import NoSetPossible
from tests.contracts.small_view import small_view
from tests.web.test_vectors import OPTIONS, Case, in_the_browser, replay

__all__ = ["replay"]
CASES = 200


def weighted(seed: int) -> tuple[Case, dict[str, int]]:
    """A case of the shared vectors, and weights of its criteria, some of them 0."""
    case = Case(seed)
    rng = np.random.default_rng(10_000 + seed)
    cuts = np.sort(rng.integers(0, 1001, len(case.names) - 1))
    parts = np.diff([0, *cuts.tolist(), 1000]).tolist()
    return case, dict(zip(case.names, parts, strict=True))


def test_list_set_and_close_calls_are_the_pages_for_random_weights(replay: Path) -> None:
    """Scores, order, set, sum and close calls of 200 weightings are those the page works out."""
    drawn = [weighted(seed) for seed in range(CASES)]
    rankings = [
        rank_offtakes(list(zip(c.names, c.weights, c.values, strict=True)), c.loss, c.ids)
        for c, _ in drawn
    ]
    wire = [
        {
            **case.on_the_wire({"ranking": ranking}),
            "weights": [weights[name] for name in case.names],
        }
        for (case, weights), ranking in zip(drawn, rankings, strict=True)
    ]
    found, short_by = 0, []
    for (case, weights), ranking, page in zip(
        drawn, rankings, in_the_browser(replay, wire), strict=True
    ):
        try:
            ours = list_by_score(ranking, case.sites, OPTIONS, weights, case.budget)
        except NoSetPossible as none:
            short_by.append((page["short_by"], none.clash[0]["short_by"]))
            continue
        assert page["score"] == ours.score.tolist()
        assert page["order"] == ours.order.tolist()
        assert page["inside"] == sorted(ours.picks)
        assert page["spent"] == ours.spent
        assert page["close"] == sorted(ours.close)
        found += bool(ours.close)
    assert found > CASES / 3  # the cases are worth their name
    assert 0 < len(short_by) < CASES / 3
    assert all(page == ours for page, ours in short_by)


def test_the_catchments_own_weights_give_its_own_list() -> None:
    """Under the weights of the settings the list is what `slackwater fund` calls by score."""
    evaluation = small_view().evaluation
    ranking = evaluation.ranking
    own = dict(zip(ranking.criteria, ranking.weights_thousandths.tolist(), strict=True))
    options = evaluation.catchment.table("options").keys
    for budget in (0.0, 30_000.0, 62_000.0, 1e9):
        ours = list_by_score(ranking, sites_of(evaluation), options, own, budget)
        told = by_score(evaluation, budget)
        codes = evaluation.catchment.table("offtakes").keys
        assert {codes[p] for p in ours.picks} == {code for code, _, _ in told.chosen}
        assert ours.spent == told.spent
        assert (ours.order == ranking.order).all()


@pytest.mark.parametrize(
    ("weights", "name", "to", "then"),
    [
        ({"a": 600, "b": 100, "c": 300}, "a", 200, {"a": 200, "b": 200, "c": 600}),
        ({"a": 0, "b": 0, "c": 1000}, "c", 999, {"a": 1, "b": 0, "c": 999}),
        ({"a": 333, "b": 333, "c": 334}, "c", 334, {"a": 333, "b": 333, "c": 334}),
        ({"a": 1000}, "a", 3, {"a": 1000}),
        ({"a": 20, "b": 980}, "a", -30, {"a": 0, "b": 1000}),
    ],
)
def test_a_weight_moves_as_on_the_page(
    weights: dict[str, int], name: str, to: int, then: dict[str, int]
) -> None:
    """The others keep their proportion, by largest remainder; the page's test says the same."""
    assert with_weight(weights, name, to) == then


def test_a_weight_that_stands_alone_is_not_moved() -> None:
    """One criterion keeps the whole weight; of two each goes up and down."""
    assert moved_weights({"a": 1000}) == []
    assert moved_weights({"a": 500, "b": 500}) == [
        {"a": 550, "b": 450}, {"a": 450, "b": 550}, {"a": 450, "b": 550}, {"a": 550, "b": 450},
    ]  # fmt: skip


def test_a_tenth_of_its_own_cost_makes_a_close_call() -> None:
    """Worked by hand: 100 of money for 60 and then 50 leaves 50 out, at 45 as well; 38 is in."""
    case = Case(1, count=1)
    site = replace(case.sites[0], committed=False, eligible=True, best_option=0, quote_option=-1)
    costs = {"P": 60.0, "Q": 50.0, "R": 38.0}
    sites = [replace(site, offtake_id=i, cost={0: c}) for i, c in costs.items()]
    values = [("risk", 1.0, np.array([0.9, 0.5, 0.1]))]
    ranking = rank_offtakes(values, np.array([3.0, 2.0, 1.0]), list(costs))
    ours = list_by_score(ranking, sites, OPTIONS, {"risk": 1000}, 100.0)
    assert (dict(ours.picks), ours.spent) == ({0: 0, 2: 0}, 98.0)
    assert ours.close == {2}  # 60 + 38 x 1.1 = 101.8 no longer fits; 60 + 50 x 0.9 = 105 neither
