"""Groups of one owner's pumps: all or none, mobilisation once; against trying every set."""

from __future__ import annotations

import itertools
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater.decisions.asking import Asking
from slackwater.decisions.best_set import find_best_set
from slackwater.decisions.by_score import Site
from slackwater.decisions.changed_rounds import with_cost
from slackwater.decisions.close_calls import CHEAPER, DEARER, LESS, MORE, close_calls
from slackwater.decisions.gains import Gains
from slackwater.decisions.rounds import plan_rounds
from slackwater.decisions.rules import Conditions, Round
from slackwater.decisions.tidy import tidy_set
from slackwater.decisions.together import priced_together
from slackwater.desk.best_funding import fund, fund_values, gains_of, round_of
from slackwater.desk.brings_in import brings_in
from slackwater.desk.certificate import certificate_values
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import sites_of
from slackwater.desk.how_sure import how_sure
from slackwater.desk.trial_draws import drawn, ranges_of
from slackwater.errors import NoSetPossible, UsageError
from slackwater.progress import Progress
from tests.bench.trees import STRONG, make_funding
from tests.laws.test_best_set import answer, assert_proved_and_the_same, every_set, made
from tests.laws.test_close_calls import EverySet, Tied, budget_of, check_entry
from tests.laws.test_reference_agrees import differences
from tests.laws.test_rounds import RATE, best_of_all_plans, check
from tests.reference import NoSetPossibleError
from tests.reference import fund as reference_fund

Numbers = NDArray[np.float64]
Groups = tuple[tuple[str, ...], ...]
Certificate = dict[str, Any]
SEEDS, BATCH = 120, 20


def random_groups(sites: list[Site], rng: np.random.Generator) -> Groups:
    """One or two groups of those that may be funded; none where fewer than two may."""
    free = [site.offtake_id for site in sites if site.eligible or site.committed]
    rng.shuffle(free)
    first = int(rng.integers(2, 4))
    return tuple(tuple(some) for some in (free[:first], free[first : first + 2]) if len(some) > 1)


@pytest.mark.parametrize("first", range(0, SEEDS, BATCH))
def test_with_groups_the_set_is_the_enumerated_best(tmp_path: Path, first: int) -> None:
    """Set, each cost, benefit and clash equal the reference's, which tries every set, ties too."""
    for seed in range(first, first + BATCH):
        folder, evaluation, most = made(tmp_path, seed)
        groups = random_groups(sites_of(evaluation), np.random.default_rng(seed))
        for share in (0.35, 0.7):
            budget = share * most
            theirs, clash = answer(
                lambda b=budget, f=folder, g=groups: reference_fund(f, b, g), NoSetPossibleError
            )
            ours, refused = answer(
                lambda b=budget, e=evaluation, g=groups: fund(e, b, Conditions(together=g)),
                NoSetPossible,
            )
            if clash:
                assert differences(refused, clash) == [], f"seed {seed}"
                continue
            assert ours is not None, f"seed {seed} at {share}: {refused}"
            assert_proved_and_the_same(fund_values(evaluation, ours), theirs, f"{seed} at {share}")


def small_round(seed: int) -> tuple[Round, list[Site], Gains]:
    """A small invented tree with groups and other rules; its sites as they are by themselves."""
    rng = np.random.default_rng(seed)
    made_ = make_funding(6, seed, shares=STRONG, options=2)
    alone = [
        replace(site, mobilisation={} if rng.random() < 0.2 else dict.fromkeys(site.cost, 9_000.0))
        for site in made_.round.sites
    ]
    groups = random_groups(alone, rng)
    free = [site.offtake_id for site in alone if site.eligible]
    conditions = Conditions(
        kept_in={rng.choice(free): "by hand"} if rng.random() < 0.2 else {},
        left_out={},
        district_most={made_.round.districts[0]: 0.5} if rng.random() < 0.3 else {},
        most_installs=int(rng.integers(2, 6)) if rng.random() < 0.4 else None,
        together=groups,
    )
    budget = float(rng.uniform(0.2, 0.8)) * sum(max(s.cost.values(), default=0.0) for s in alone)
    round_ = replace(made_.round, sites=priced_together(alone, groups), budget=budget,
                     conditions=conditions)  # fmt: skip
    return round_, alone, made_.gains


def sets_by_hand(round_: Round, alone: list[Site]) -> list[tuple[float, dict[int, int]]]:
    """Cost and picks of every set that keeps the rules, counted group by group and not by rows."""
    asked, found = round_.conditions, []
    at = {site.offtake_id: p for p, site in enumerate(alone)}
    for picked in itertools.product(*[[None, *site.cost] for site in alone]):
        picks = {p: o for p, o in enumerate(picked) if o is not None}
        cost = {p: alone[p].cost[o] for p, o in picks.items()}
        if any(0 < len({at[i] for i in g} & picks.keys()) < len(g) for g in asked.together):
            continue
        for group in asked.together:
            paying = [at[i] for i in sorted(group) if alone[at[i]].mobilisation]
            cost |= {p: cost[p] - 9_000.0 for p in paying[1:] if p in picks}
        most = {d: s * round_.budget for d, s in asked.district_most.items()}
        if (
            sum(cost.values()) <= round_.budget
            and all(at[i] in picks for i in asked.kept_in)
            and (asked.most_installs is None or len(picks) <= asked.most_installs)
            and all(
                sum(c for p, c in cost.items() if round_.districts[p] == d) <= money
                for d, money in most.items()
            )
        ):
            found.append((sum(cost.values()), picks))
    return found


@pytest.mark.parametrize(
    "first", [0, 50, *(pytest.param(n, marks=pytest.mark.long) for n in range(100, 300, 50))]
)
def test_with_groups_and_other_rules_the_best_is_found(first: int) -> None:
    """On 300 small trees the set gains what the best of all gains, costs its sum, under a bound."""
    whole = split = 0
    for seed in range(first, first + 50):
        round_, alone, gains = small_round(seed)
        sets = sets_by_hand(round_, alone)
        found, clash = answer(lambda r=round_, g=gains: find_best_set(r, g), NoSetPossible)
        assert bool(clash) == (not sets), f"seed {seed}"
        if clash:
            continue
        benefits = gains.benefit([picks for _, picks in sets])
        assert found.benefit == pytest.approx(benefits.max(), rel=1e-8, abs=1e-9), f"seed {seed}"
        assert found.upper_bound >= benefits.max() * (1 - 1e-9)
        assert found.gap <= 1e-6
        cost = {frozenset(picks.items()): cost for cost, picks in sets}
        assert found.spent == pytest.approx(cost[frozenset(found.picks.items())], rel=1e-12)
        ungrouped = replace(round_, conditions=replace(round_.conditions, together=()))
        freely = find_best_set(ungrouped, gains).picks
        split += any(0 < len(freely.keys() & set(g)) < len(g) for g in round_.groups.values())
        whole += any(freely.keys() >= set(g) for g in round_.groups.values())
    assert min(whole, split) > 0


@pytest.mark.parametrize("seed", range(40))
def test_close_calls_and_entry_with_groups_are_those_of_trying_every_set(
    tmp_path: Path, seed: int
) -> None:
    """A tenth of cost or gain moves a site just where it is said; so do its budget and cost."""
    _, evaluation, most = made(tmp_path, seed)
    groups = random_groups(sites_of(evaluation), np.random.default_rng(seed))
    asked = Conditions(together=groups)
    round_ = round_of(evaluation, budget_of(evaluation, 0.45, most), asked)
    gains, single = gains_of(evaluation, Progress()), evaluation.gain_adults
    every = EverySet(round_of(evaluation, 1.0, Conditions()), gains)
    if not every_set(round_):
        return
    told = told_calls(round_, gains, single)
    for site in sorted({c.site for c in round_.choices()} - round_.forced):
        try:
            now = site in every.best(round_)
            assert told.get(site, set()) == moved(every, round_, single, site), f"site {site}"
            check_entry(evaluation, round_, every, site, inside=now)
        except Tied:
            continue


def told_calls(round_: Round, gains: Gains, single: Numbers) -> dict[int, set[str]]:
    """The close calls of the best set: site -> reasons."""
    best = find_best_set(round_, gains)
    calls = close_calls(round_, Asking(gains, list(best.cuts)), best, single, Progress())
    return {call.site: set(call.reasons) for call in calls}


def moved(every: EverySet, round_: Round, single: Numbers, site: int) -> set[str]:
    """What moves a site over the line, by trying every set."""
    now = site in every.best(round_)
    tenth = {(site, o): 0.1 * float(single[site, o]) for o in round_.sites[site].cost}
    changes = (
        (DEARER, with_cost(round_, site, 1.1), None),
        (CHEAPER, with_cost(round_, site, 0.9), None),
        (MORE, round_, tenth),
        (LESS, round_, {choice: -gain for choice, gain in tenth.items()}),
    )
    return {words for words, there, more in changes if (site in every.best(there, more)) != now}


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_close_calls_under_every_rule_are_those_of_trying_every_set(first: int) -> None:
    """On small trees whose sites help each other, groups among other rules, none is missed."""
    for seed in range(first, first + 20):
        round_, _, gains = small_round(seed)
        every = EverySet(replace(round_, conditions=Conditions()), gains)
        single = gains.single({})[0]
        if not every_set(round_):
            continue
        told = told_calls(round_, gains, single)
        for site in sorted({c.site for c in round_.choices()} - round_.forced):
            try:
                by_trying = moved(every, round_, single, site)
            except Tied:
                continue
            assert told.get(site, set()) == by_trying, f"seed {seed}, site {site}"


def test_of_groups_that_gain_the_same_the_cheaper_is_shown() -> None:
    """A group is traded in whole for another, and dropped in whole where it gains nothing."""
    made_ = make_funding(6, 1, shares=STRONG, options=1)
    gains = replace(made_.gains, kept=np.zeros_like(made_.gains.kept),
                    residents=np.array([[1.0], [2.0], [2.0], [1.0], [0.0], [0.0]]),
                    fitted=np.zeros_like(made_.gains.fitted))  # fmt: skip
    prices = (5.0, 5.0, 5.0, 4.0, 1.0, 1.0)
    sites = [replace(site, eligible=True, cost={0: price})
             for site, price in zip(made_.round.sites, prices, strict=True)]  # fmt: skip
    a, b, c, d, e, f = (site.offtake_id for site in sites)
    asked = Conditions(together=((a, b), (c, d), (e, f)))
    round_ = replace(made_.round, sites=sites, budget=12.0, conditions=asked)
    choices = round_.choices()
    assert tidy_set(round_, gains, choices, {0: 0, 1: 0, 4: 0, 5: 0}, 3.0) == ({2: 0, 3: 0}, 3.0)
    assert find_best_set(round_, gains).picks == {2: 0, 3: 0}


@pytest.mark.parametrize("seed", range(20))
def test_in_a_plan_of_rounds_a_group_comes_in_one_round(seed: int) -> None:
    """The plan is the best of all in which a group comes in one round, and pays for coming once."""
    rng = np.random.default_rng(seed)
    made_ = make_funding(5, seed, shares=STRONG, options=2)
    alone = [replace(s, mobilisation=dict.fromkeys(s.cost, 9_000.0)) for s in made_.round.sites]
    groups = random_groups(alone, rng)[:1]
    round_ = replace(
        made_.round, sites=priced_together(alone, groups), conditions=Conditions(together=groups)
    )
    dearest = sum(max(site.cost.values(), default=0.0) for site in alone)
    budgets = list(rng.uniform(0.2, 0.6, 2) * dearest)
    plan = plan_rounds(round_, made_.gains, budgets, RATE)
    check(plan, round_, made_.gains, budgets)
    (group,) = round_.groups.values()
    for new in plan.added:
        assert len(new.keys() & set(group)) in (0, len(group))

    def keeps(when: dict[int, int]) -> bool:
        return len({when.get(p) for p in group}) == 1

    best = best_of_all_plans(round_, made_.gains, budgets, keeps)
    assert plan.discounted == pytest.approx(best, rel=1e-6)
    assert plan.upper_bound >= best * (1 - 1e-9)


TOLD, BUDGET = 101, 376_324.0
PAIR = ("T-007", "T-B-2")
"""A seed with an accepted offtake, one not willing, two with quotes; a pair within the budget."""


def told(tmp_path: Path) -> Evaluation:
    """The catchment of the examples below."""
    return made(tmp_path, TOLD)[1]


def certified(evaluation: Evaluation, budget: float, conditions: Conditions) -> Certificate:
    """A certificate as it comes out of its file."""
    values = certificate_values(evaluation, fund(evaluation, budget, conditions))
    return json.loads(json.dumps(values))


def test_coming_once_is_paid_once_and_a_quote_stands(tmp_path: Path) -> None:
    """Of three the second by code costs less by mobilisation; a member with a quote does not."""
    evaluation = told(tmp_path)
    alone = {site.offtake_id: site for site in sites_of(evaluation)}
    group = ("T-A9", "T-alder", "T-007")
    assert not alone["T-A9"].mobilisation  # a quote of its own
    together = {site.offtake_id: site for site in priced_together(sites_of(evaluation), [group])}
    prices, settings = evaluation.catchment.table("prices"), evaluation.catchment.settings
    price = dict(zip(prices.text("item"), prices.number("amount"), strict=True))
    coming = price["mobilisation"] * (1 - settings.landholder_share)
    coming *= (1 + price.get("design", 0.0)) * (1 + price.get("contingency", 0.0))
    saved = {code: alone[code].cost[0] - together[code].cost[0] for code in alone}
    assert saved.pop("T-alder") == pytest.approx(coming)
    assert set(saved.values()) == {0.0}


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (Conditions(together=(("T-007",),)), "two offtakes or more to go together, not 'T-007'"),
        (Conditions(together=(PAIR, ("T-oak", "T-B-2"))), "T-B-2 is in two groups"),
        (Conditions(together=(("T-007", "T-none"),)), "no offtake 'T-none'"),
        (Conditions(together=(("T-007", "T-Zelkova"),)), "T-Zelkova cannot .*: the landholder is"),
        (Conditions({"T-007": "x"}, {"T-B-2": "y"}, together=(PAIR,)), "T-007, which is kept in"),
        (Conditions({}, {"T-B-2": "y"}, together=(("T-7", "T-B-2"),)), "T-7, which is accepted"),
    ],
)
def test_groups_that_cannot_be_are_refused(tmp_path: Path, asked: Conditions, words: str) -> None:
    """One member, a member of two groups, of none or of the barred, one in and one out: named."""
    with pytest.raises(UsageError, match=words):
        fund(told(tmp_path), BUDGET, asked)


def test_a_hand_choice_of_one_moves_its_group(tmp_path: Path) -> None:
    """Kept in, one brings the other in, and too little money names the rule; left out, neither."""
    evaluation = told(tmp_path)
    pair = ("T-alder", "T-oak")

    def codes(budget: float, asked: Conditions) -> set[str]:
        return {code for code, _, _ in fund(evaluation, budget, asked).best.chosen}

    assert codes(2e6, Conditions({"T-alder": "agreed"}, together=(pair,))) >= set(pair)
    assert not codes(2e6, Conditions({}, {"T-oak": "later"}, together=(pair,))) & set(pair)
    with pytest.raises(NoSetPossible) as refused:
        codes(BUDGET, Conditions({"T-alder": "agreed"}, together=(pair,)))
    (clash,) = refused.value.clash
    assert clash["rule"] == "together T-alder, T-oak"
    cost = fund(evaluation, 2e6, Conditions({"T-alder": "agreed"}, together=(pair,))).best.chosen
    must = sum(money for code, _, money in cost if code in ("T-7", *pair))
    assert clash["short_by"] == pytest.approx(must - BUDGET)


def test_what_holds_a_group_is_said_of_each_of_it(tmp_path: Path) -> None:
    """Of one whose fellow is accepted, kept in or left out, entry says so and gives no figures."""
    evaluation = told(tmp_path)
    for other, asked, words in (
        ("T-7", Conditions(), "T-7, which is accepted"),
        ("T-007", Conditions({"T-007": "agreed"}), "T-007, which is kept in by hand: agreed"),
        ("T-007", Conditions({}, {"T-007": "later"}), "T-007, which is left out by hand: later"),
    ):
        asked = replace(asked, together=(("T-alder", other),))
        entry = brings_in(evaluation, 1e6, asked, "T-alder", [], Progress())
        assert entry.why_not == f"it goes together with {words}"
        assert entry.least_budget is None
        assert entry.inside != bool(asked.left_out)


def test_in_every_trial_a_group_is_in_whole_or_not_at_all(tmp_path: Path) -> None:
    """Both of a pair are in the same trials; what coming once saves is drawn with the cost."""
    evaluation = told(tmp_path)
    answer_ = fund(evaluation, 3.5 * BUDGET, Conditions(together=(("T-alder", "T-oak"),)))
    sure = how_sure(evaluation, answer_, Progress(), trials=30)
    index = evaluation.catchment.table("offtakes").index
    assert 0 < sure.inside[index["T-alder"]] == sure.inside[index["T-oak"]] < 30
    alone = how_sure(evaluation, fund(evaluation, 3.5 * BUDGET), Progress(), trials=1)
    assert sure.funded.tolist() == alone.funded.tolist()  # the list by score knows no groups
    costs = evaluation.costs
    trial = drawn(evaluation, ranges_of(evaluation.catchment), np.random.default_rng(0)).costs
    assert (trial.capital != costs.capital).any()
    share = trial.mobilisation / trial.capital
    assert share == pytest.approx(costs.mobilisation / costs.capital)
