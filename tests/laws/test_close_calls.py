"""Close calls, entry and trials against trying everything, on invented catchments."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slackwater.decisions.asking import Asking
from slackwater.decisions.best_set import find_best_set
from slackwater.decisions.changed_rounds import with_cost
from slackwater.decisions.close_by_score import moved_weights
from slackwater.decisions.close_calls import CHEAPER, DEARER, LESS, MORE, close_calls
from slackwater.decisions.entry import Entry
from slackwater.decisions.entry_budget import COARSE
from slackwater.decisions.gains import Gains
from slackwater.decisions.money import money_step
from slackwater.decisions.rules import Conditions, Round
from slackwater.decisions.score import rank_offtakes
from slackwater.decisions.weightings import lists_of, orders_of, random_weightings, times_funded
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.brings_in import brings_in, close_calls_by_score
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import by_score, sites_of
from slackwater.progress import Progress
from tests.laws.test_best_set import every_set, made, random_conditions

SEEDS = range(12)
NEAR = 1e-7


def budget_of(evaluation: Evaluation, share: float, most: float) -> float:
    """A share of what all would cost, but enough for what is committed."""
    sites = sites_of(evaluation)
    committed = sum(max(site.cost.values()) for site in sites if site.committed)
    return max(share * most, 1.2 * committed)


class EverySet:
    """What every set gains, asked once."""

    def __init__(self, free: Round, gains: Gains) -> None:
        sets = every_set(replace(free, budget=np.inf))
        benefits = gains.benefit(sets)
        self.gained = {frozenset(s.items()): float(b) for s, b in zip(sets, benefits, strict=True)}

    def best(self, round_: Round, more: dict[tuple[int, int], float] | None = None) -> set[int]:
        """Sites of the best set under the rules; none where another with other sites is as good."""
        more = more or {}
        found = [
            (self.gained[frozenset(s.items())] + sum(more.get(c, 0.0) for c in s.items()), set(s))
            for s in every_set(round_)
        ]
        top = max((b for b, _ in found), default=0.0)
        level = [sites for b, sites in found if b >= top - NEAR * abs(top)]
        if any(sites != level[0] for sites in level):
            raise Tied
        return level[0] if level else set()


class Tied(Exception):
    """Two sets are as good: which is the best is decided by cost and ids, not looked at here."""


@pytest.mark.parametrize("seed", SEEDS)
def test_close_calls_are_those_of_trying_every_set(tmp_path: Path, seed: int) -> None:
    """A site is a close call just where a tenth of its cost or gain moves it, by brute force."""
    _, evaluation, most = made(tmp_path, seed)
    gains, rng = gains_of(evaluation, Progress()), np.random.default_rng(seed)
    round_ = round_of(evaluation, budget_of(evaluation, 0.45, most), Conditions())
    if seed % 2:
        round_ = replace(round_, conditions=random_conditions(round_, rng))
    if not every_set(round_):
        return
    best, single = find_best_set(round_, gains), evaluation.gain_adults
    asking = Asking(gains, list(best.cuts))
    found = {c.site: c.reasons for c in close_calls(round_, asking, best, single, Progress())}
    every = EverySet(round_of(evaluation, 1.0, Conditions()), gains)
    for site in {c.site for c in round_.choices()} - round_.forced:
        own = {(site, o): float(single[site, o]) for o in round_.sites[site].cost}
        changes = {
            DEARER: (with_cost(round_, site, 1.1), None),
            CHEAPER: (with_cost(round_, site, 0.9), None),
            MORE: (round_, {c: 0.1 * g for c, g in own.items()}),
            LESS: (round_, {c: -0.1 * g for c, g in own.items()}),
        }
        try:
            now = site in every.best(round_)
            moved = {w for w, (r, more) in changes.items() if (site in every.best(r, more)) != now}
        except Tied:
            continue
        assert set(found.get(site, ())) == moved, f"site {site}"


def check_entry(
    evaluation: Evaluation, round_: Round, every: EverySet, site: int, *, inside: bool
) -> Entry:
    """At its least budget and highest cost a site is in, by trying every set; beyond, out."""
    code = round_.sites[site].offtake_id
    entry = brings_in(evaluation, round_.budget, round_.conditions, code, [], Progress())
    assert entry.inside == inside
    if entry.least_budget is not None:
        step = COARSE * money_step(round_.budget)
        below = entry.least_budget - step if entry.least_budget % step == 0 else 0.0
        assert site in every.best(replace(round_, budget=entry.least_budget))
        assert site not in every.best(replace(round_, budget=below))
    if entry.highest_cost is not None:
        own = round_.sites[site].cost[entry.option]
        for cost, there in (
            (entry.highest_cost, True),
            (entry.highest_cost + money_step(entry.highest_cost), False),
        ):
            assert (site in every.best(with_cost(round_, site, cost / own))) == there
    return entry


@pytest.mark.parametrize("seed", SEEDS)
def test_entry_is_right_when_applied(tmp_path: Path, seed: int) -> None:
    """At the least budget and the highest cost a site is in, by trying every set; beyond, out."""
    _, evaluation, most = made(tmp_path, seed)
    gains = gains_of(evaluation, Progress())
    round_ = round_of(evaluation, budget_of(evaluation, 0.3, most), Conditions())
    every = EverySet(round_of(evaluation, 1.0, Conditions()), gains)
    for site in range(len(round_.sites)):
        try:
            now = site in every.best(round_)
            entry = check_entry(evaluation, round_, every, site, inside=now)
            nothing = entry.least_budget is None and entry.highest_cost is None
            assert nothing == bool(entry.why_not)
            if nothing and not round_.sites[site].committed:
                assert site not in every.best(replace(round_, budget=2 * most))
        except Tied:
            continue


@pytest.mark.parametrize("seed", SEEDS)
def test_lists_side_by_side_are_the_lists_one_by_one(tmp_path: Path, seed: int) -> None:
    """Under each of 20 weightings the sites funded are those of the list by score itself."""
    _, evaluation, most = made(tmp_path, seed)
    ranking = evaluation.ranking
    round_ = round_of(evaluation, budget_of(evaluation, 0.7, most), Conditions())
    lists = lists_of(round_.sites, round_.option_ids, round_.budget)
    weightings = random_weightings(len(ranking.criteria), 20, seed)
    assert (weightings.sum(axis=1) == 1000).all()
    ids = evaluation.catchment.table("offtakes").keys
    counted = np.zeros(len(ids), np.int64)
    for weights in weightings:
        anew = rank_offtakes(
            [(name, float(w), v / 1e6) for name, w, v in
             zip(ranking.criteria, weights, ranking.values_millionths, strict=True)],
            evaluation.loss_adults, ids,
        )  # fmt: skip
        chosen = by_score(replace(evaluation, ranking=anew), round_.budget).chosen
        own = orders_of(
            (weights @ ranking.values_millionths)[None], np.argsort(ranking.tie_order) * 1.0
        )
        assert own[0].tolist() == anew.order.tolist()
        listed = [ids.index(offtake_id) for offtake_id, _, _ in chosen]
        assert set(np.flatnonzero(lists.inside(own)[0])) == set(listed)
        counted[listed] += 1
    times = times_funded(lists, ranking.values_millionths, ranking.tie_order, weightings)
    assert times.tolist() == counted.tolist()


@pytest.mark.parametrize("seed", SEEDS)
def test_close_calls_by_score_are_right_when_applied(tmp_path: Path, seed: int) -> None:
    """With the change made in the evaluation itself, the list by score has or lacks the site."""
    _, evaluation, most = made(tmp_path, seed)
    budget = budget_of(evaluation, 0.6, most)
    ids = evaluation.catchment.table("offtakes").keys
    now = {offtake_id for offtake_id, _, _ in by_score(evaluation, budget).chosen}
    told = {ids[c.site]: c for c in close_calls_by_score(evaluation, budget, Progress())}
    for site, offtake_id in enumerate(ids):
        if evaluation.best_option[site] < 0 or not sites_of(evaluation)[site].eligible:
            continue
        for words, changed in _applied(evaluation, site):
            there = {i for i, _, _ in by_score(changed, budget).chosen}
            moved = (offtake_id in there) != (offtake_id in now)
            assert (words in (told[offtake_id].reasons if offtake_id in told else ())) == moved


def _applied(evaluation: Evaluation, site: int) -> list[tuple[str, Evaluation]]:
    """The evaluation with one site's cost, or gain and loss, a tenth more or less; ranked anew."""
    from slackwater.desk.evaluation import _rank

    found = []
    for words, times in ((DEARER, 1.1), (CHEAPER, 0.9)):
        costs = evaluation.costs
        capital, life_cycle = costs.capital.copy(), costs.life_cycle.copy()
        capital[site] *= times
        life_cycle[site] *= times
        dearer = replace(costs, capital=capital, life_cycle=life_cycle)
        ranking = _rank(evaluation.catchment, evaluation.loss_adults, evaluation.overlap, dearer,
                        evaluation.best_option)  # fmt: skip
        found.append((words, replace(evaluation, costs=dearer, ranking=ranking)))
    for words, times in ((MORE, 1.1), (LESS, 0.9)):
        loss = evaluation.loss_adults.copy()
        loss[site] *= times
        ranking = _rank(evaluation.catchment, loss, evaluation.overlap, evaluation.costs,
                        evaluation.best_option)  # fmt: skip
        found.append((words, replace(evaluation, ranking=ranking)))
    return found


def test_moved_weights_leave_the_others_in_proportion() -> None:
    """A weight up by 0.05 takes from the others what they have; each way sums to a thousand."""
    moves = dict(moved_weights(("risk", "overlap", "cost"), np.array([600, 100, 300])))
    assert moves["the weight of risk rises by 0.05"].tolist() == [650, 88, 262]
    assert moves["the weight of cost falls by 0.05"].tolist() == [643, 107, 250]
    assert len(moves) == 6
    assert all(weights.sum() == 1000 for weights in moves.values())
    only = dict(moved_weights(("risk", "cost"), np.array([1000, 0])))
    assert sorted(only) == ["the weight of cost rises by 0.05", "the weight of risk falls by 0.05"]
