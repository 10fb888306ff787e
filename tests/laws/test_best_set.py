"""The best set against trying all sets, with and without side conditions, and its bound."""

from __future__ import annotations

import itertools
import json
import time
from dataclasses import replace
from pathlib import Path
from threading import Event, Timer
from typing import Any

import numpy as np
import pytest

from slackwater.decisions.best_set import BestSet, find_best_set
from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.master import Master
from slackwater.decisions.near import in_order_of_doubt
from slackwater.decisions.rules import Conditions, Round, rows_of
from slackwater.desk.best_funding import fund, fund_values, gains_of, round_of
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.opening import open_catchment
from slackwater.errors import Cancelled, NoSetPossible, UsageError
from slackwater.progress import Progress
from tests.bench.trees import STRONG, make_funding
from tests.laws.test_reference_agrees import differences
from tests.reference import NoSetPossibleError
from tests.reference import fund as reference_fund
from tests.reference.catchments import generate

WORKED = Path(__file__).parents[3] / "shared" / "worked"
SEEDS = 120
BATCH = 20


def made(tmp_path: Path, seed: int) -> tuple[Path, Evaluation, float]:
    """An invented catchment, evaluated, and what every site's dearest screen would cost."""
    folder = tmp_path / str(seed)
    generate(folder, seed)
    evaluation = evaluate(open_catchment(folder).catchment)
    priced = np.where(evaluation.sizing.feasible, evaluation.costs.capital, 0.0)
    return folder, evaluation, float(priced.max(axis=1).sum())


def answer(function: Any, refusal: type[Exception]) -> tuple[Any, Any]:
    """What a function gives, or the clash for which it refuses."""
    try:
        return function(), None
    except refusal as clash:
        return None, list(clash.clash)  # type: ignore[attr-defined]


@pytest.mark.skipif(not WORKED.exists(), reason="the worked catchment is not beside the project")
def test_the_worked_fund_is_reproduced() -> None:
    """Both ways to spend 175,000 on the worked catchment give its sets, costs and benefits."""
    evaluation = evaluate(open_catchment(WORKED / "catchment").catchment)
    expected = json.loads((WORKED / "fund.json").read_text())
    assert differences(fund_values(evaluation, fund(evaluation, 175_000)), expected) == []


def assert_proved_and_the_same(values: dict[str, Any], theirs: dict[str, Any], where: str) -> None:
    """Every number is the reference's; the bound is not below the best, and hardly above."""
    bound = theirs.pop("upper_bound_adults")
    del theirs["gap"]
    assert differences(values, theirs) == [], f"seed {where}"
    assert values["upper_bound_adults"] >= bound - EQUAL * abs(bound) - 1e-12
    assert values["gap"] <= 1e-6


@pytest.mark.parametrize("first", range(0, SEEDS, BATCH))
def test_best_set_is_the_enumerated_best(tmp_path: Path, first: int) -> None:
    """Set, cost, benefit and clash equal the reference's, which tries every set, ties too."""
    for seed in range(first, first + BATCH):
        folder, evaluation, most = made(tmp_path, seed)
        for share in (0.3, 0.6):
            budget = share * most
            theirs, clash = answer(
                lambda b=budget, f=folder: reference_fund(f, b), NoSetPossibleError
            )
            ours, refused = answer(lambda b=budget, e=evaluation: fund(e, b), NoSetPossible)
            if clash:
                assert differences(refused, clash) == [], f"seed {seed}"
                continue
            assert_proved_and_the_same(fund_values(evaluation, ours), theirs, f"{seed} at {share}")


def every_set(round_: Round) -> list[dict[int, int]]:
    """All sets that keep every rule of a round."""
    choices = round_.choices()
    at: dict[int, list[int]] = {}
    for i, choice in enumerate(choices):
        at.setdefault(choice.site, []).append(i)
    rows = rows_of(round_, choices)
    found = []
    for picked in itertools.product(*[[-1, *options] for options in at.values()]):
        chosen = [i for i in picked if i >= 0]
        if rows.keep(chosen):
            found.append({choices[i].site: choices[i].option for i in chosen})
    return found


def random_conditions(round_: Round, rng: np.random.Generator) -> Conditions:
    """Some side conditions that may or may not clash."""
    free = [s.offtake_id for s in round_.sites if s.eligible]
    district = str(rng.choice(round_.districts))
    asked = Conditions(
        kept_in={rng.choice(free): "by hand"} if free and rng.random() < 0.4 else {},
        district_least={district: 0.2} if rng.random() < 0.4 else {},
        district_most={district: 0.5} if rng.random() < 0.4 else {},
        most_installs=int(rng.integers(1, 4)) if rng.random() < 0.5 else None,
    )
    pair = tuple(rng.permutation(free)[:2].tolist())
    return replace(asked, together=(pair,) if len(pair) == 2 and rng.random() < 0.5 else ())


@pytest.mark.parametrize("seed", range(60))
def test_side_conditions_are_kept_and_the_best_is_found(tmp_path: Path, seed: int) -> None:
    """With random conditions the set is the best of all that keep them; none means a clash."""
    rng = np.random.default_rng(seed)
    _, evaluation, most = made(tmp_path, seed)
    round_ = round_of(evaluation, 0.5 * most, Conditions())
    round_ = replace(round_, conditions=random_conditions(round_, rng))
    gains = gains_of(evaluation, Progress())
    sets = every_set(round_)
    found, clash = answer(lambda: find_best_set(round_, gains), NoSetPossible)
    if not sets:
        assert clash
        return
    assert found is not None, clash
    best = gains.benefit(sets).max()
    assert found.benefit == pytest.approx(best, rel=1e-8, abs=1e-9)
    assert found.upper_bound >= best - 1e-9 * abs(best) - 1e-12
    assert dict(found.picks) in sets


def test_the_bound_holds_for_every_set_and_is_exact_for_its_own(tmp_path: Path) -> None:
    """Telescoped weights are at least what any set gains, and just that for their own."""
    for seed in range(25):
        _, evaluation, most = made(tmp_path, seed)
        gains = gains_of(evaluation, Progress())
        sets = every_set(replace(round_of(evaluation, most, Conditions()), budget=np.inf))[:400]
        benefits = gains.benefit(sets)
        slack = 1e-10 * float(np.abs(benefits).max()) + 10 * gains.rounding
        for first in (None, sets[-1], sets[len(sets) // 2]):
            cut = gains.telescoped([first] if first else [])
            sums = np.array([
                cut.constant + sum(cut.weights[p, o] for p, o in picks.items()) for picks in sets
            ])  # fmt: skip
            assert (sums >= benefits - slack).all(), f"seed {seed}"
            if first:
                assert sums[sets.index(first)] == pytest.approx(
                    benefits[sets.index(first)], abs=slack
                )


def test_without_a_set_in_hand_sets_are_ordered_by_doubt_all_the_same() -> None:
    """Where nothing is in hand yet the nested sets are those of a set that gains nothing."""
    funding = make_funding(40, 3, shares=STRONG)
    master = Master(funding.round, funding.round.choices())
    relaxed = master.relax([funding.gains.telescoped()])
    picks = find_best_set(funding.round, funding.gains).picks
    sets = in_order_of_doubt(master, relaxed, -np.inf, picks)
    assert sets == in_order_of_doubt(master, relaxed, 0.0, picks)
    assert len(sets) > 1
    assert all(one.keys() <= more.keys() for one, more in itertools.pairwise(sets))


def test_hand_choices_that_cannot_be_made_are_refused(tmp_path: Path) -> None:
    """A hand choice without a reason, of nobody, or of a barred site is refused with why."""
    _, evaluation, most = made(tmp_path, 3)
    codes = evaluation.catchment.table("offtakes").keys
    for conditions, words in (
        (Conditions(kept_in={codes[0]: " "}), "reason"),
        (Conditions(left_out={"nobody": "x"}), "no offtake"),
    ):
        with pytest.raises(UsageError, match=words):
            fund(evaluation, most, conditions)


@pytest.mark.parametrize("seed", range(8))
def test_bounds_serve_under_other_rules(seed: int) -> None:
    """Started from another budget's bounds, the answer is the same as from none."""
    funding = make_funding(60, seed)
    before = find_best_set(funding.round, funding.gains)
    other = replace(funding.round, budget=1.5 * funding.round.budget,
                    conditions=Conditions(most_installs=12))  # fmt: skip
    anew = find_best_set(other, funding.gains)
    again = find_best_set(other, funding.gains, cuts=before.cuts)
    assert again.picks == anew.picks
    assert again.benefit == pytest.approx(anew.benefit, rel=1e-9)
    assert max(anew.gap, again.gap) <= 1e-9
    assert again.cuts[: len(before.cuts)] == before.cuts


def test_better_sets_are_told_as_they_come() -> None:
    """Each set told gains more than the last, keeps the budget and lies under its bound."""
    funding = make_funding(150, 1, shares=STRONG)
    told: list[BestSet] = []
    best = find_best_set(funding.round, funding.gains, gap=1e-5, found=told.append)
    assert len(told) > 1
    gained = [one.benefit for one in told]
    assert gained == sorted(set(gained))
    assert all(one.spent <= funding.round.budget * (1 + 1e-9) for one in told)
    assert all(one.upper_bound >= best.benefit for one in told)


def test_the_time_is_kept_and_the_gap_said() -> None:
    """Out of time, the set is the best so far, and a search without limit stays under its bound."""
    funding = make_funding(600, 1, shares=STRONG)
    began = time.monotonic()
    hurried = find_best_set(funding.round, funding.gains, seconds=0.5)
    assert time.monotonic() - began < 2.0
    assert hurried.gap > 0
    longer = find_best_set(funding.round, funding.gains, seconds=3.0)
    assert hurried.benefit <= longer.benefit * (1 + 1e-9) <= hurried.upper_bound * (1 + 1e-9)


def test_a_search_ends_when_told() -> None:
    """Told from another thread, a search ends within 2 s as cancelled."""
    funding = make_funding(600, 1, shares=STRONG)
    stop = Event()
    Timer(1.0, stop.set).start()
    began = time.monotonic()
    with pytest.raises(Cancelled):
        find_best_set(funding.round, funding.gains, gap=0.0, seconds=600.0, stop=stop.is_set)
    assert time.monotonic() - began < 3.0
