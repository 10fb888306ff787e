"""Trials over ranges: what holds whatever the catchment."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slackwater.decisions.triangular import even_shares, triangular
from slackwater.desk.best_funding import FundingAnswer, fund
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.how_sure import HowSure, how_sure
from slackwater.desk.jobs import Job
from slackwater.desk.sensitivity import sensitivity_of
from slackwater.desk.set_benefit import benefit_in, loss_in, mean_of_years, share_of
from slackwater.desk.trial_draws import (
    BY_GUILD,
    BY_SITE,
    assumed_ranges,
    capital_at,
    ranges_of,
    with_inputs,
    with_values,
)
from slackwater.errors import Cancelled
from slackwater.progress import Progress
from tests.laws.test_best_set import made
from tests.laws.test_close_calls import budget_of

SEEDS = range(6)
NO_RANGE = dict.fromkeys((*BY_GUILD, *BY_SITE, "cost"), (1.0, 1.0))


def with_ranges(evaluation: Evaluation, ranges: dict[str, tuple[float, float]]) -> Evaluation:
    """The same catchment with other ranges; an efficacy's are its value where none is given."""
    catchment = evaluation.catchment
    efficacy = catchment.table("efficacy")
    ends = {end: efficacy.number("drifter") for end in ("low", "high")}
    tables = {
        **catchment.tables,
        "efficacy": replace(efficacy, columns={**efficacy.columns, **ends}),
    }
    settings = replace(catchment.settings, ranges=ranges)
    return evaluate(replace(catchment, settings=settings, tables=tables))


def answered(tmp_path: Path, seed: int) -> tuple[Evaluation, FundingAnswer]:
    """An invented catchment without a doubt, and its best set."""
    _, evaluation, most = made(tmp_path, seed)
    evaluation = with_ranges(evaluation, NO_RANGE)
    return evaluation, fund(evaluation, budget_of(evaluation, 0.5, most))


def picked(evaluation: Evaluation, answer: FundingAnswer) -> np.ndarray:
    """(offtakes,) 1 for those in the best set."""
    flags = np.zeros(len(evaluation.best_option))
    flags[list(answer.certificate.picks)] = 1
    return flags


@pytest.mark.parametrize("seed", SEEDS)
def test_without_a_range_every_trial_is_the_same(tmp_path: Path, seed: int) -> None:
    """With ranges of [1, 1] a site is in all trials or in none, and the benefit has no spread."""
    evaluation, answer = answered(tmp_path, seed)
    sure = how_sure(evaluation, answer, Progress(), trials=5)
    assert set(sure.inside.tolist()) <= {0, 5}
    share = share_of(answer.certificate.benefit, float(evaluation.loss_adults.sum()))
    for end in (sure.benefit.low, sure.benefit.median, sure.benefit.high):
        assert end == pytest.approx(share, rel=1e-9, abs=1e-12)
    assert all(s.low_share == pytest.approx(s.high_share, abs=1e-9) for s in sure.sensitivity)
    assert not [m for m in sure.measure if m.input not in ("depth_m", "night_use_share")]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_seed_draws_the_same(tmp_path: Path, seed: int) -> None:
    """The same seed gives the same counts, another seed another benefit."""
    _, evaluation, most = made(tmp_path, seed)
    answer = fund(evaluation, budget_of(evaluation, 0.5, most))

    def run(of: int) -> HowSure:
        return how_sure(evaluation, answer, Progress(), trials=4, seed=of)

    one, again, other = run(1), run(1), run(2)
    assert one.inside.tolist() == again.inside.tolist()
    assert one.funded.tolist() == again.funded.tolist()
    assert one.benefit == again.benefit
    if answer.certificate.benefit > 0:
        assert one.benefit != other.benefit


@pytest.mark.parametrize("seed", SEEDS)
def test_benefit_and_loss_are_those_of_the_evaluation(tmp_path: Path, seed: int) -> None:
    """Summed over guilds, the mean of years is the best set's benefit and all offtakes' loss."""
    evaluation, answer = answered(tmp_path, seed)
    gained = benefit_in(evaluation, answer.certificate.picks, Progress())
    lost = loss_in(evaluation, Progress())
    benefit, loss = answer.certificate.benefit, evaluation.loss_adults.sum()
    assert mean_of_years(evaluation, gained).sum() == pytest.approx(benefit, rel=1e-8, abs=1e-9)
    assert mean_of_years(evaluation, lost).sum() == pytest.approx(loss, rel=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_an_input_at_an_end_is_the_catchment_written_so(tmp_path: Path, seed: int) -> None:
    """One guild's input at its low gives the share of a catchment in which it is that low."""
    evaluation, answer = answered(tmp_path, seed)
    picks = answer.certificate.picks
    evaluation = with_ranges(evaluation, {"encounter": (0.6, 1.3), "drift_days": (0.5, 2.0)})
    ranges = ranges_of(evaluation.catchment)
    told = sensitivity_of(evaluation, ranges, picks, Progress())
    guilds = evaluation.catchment.table("guilds").keys
    for name in ("encounter", "drift_days"):
        value = np.ones(len(guilds))
        value[0] = ranges[name].low[0]
        there = evaluate(with_inputs(evaluation.catchment, {name: value}))
        gained = mean_of_years(there, benefit_in(there, picks, Progress())).sum()
        line = next(s for s in told if s.input == name and s.guild_id == guilds[0])
        assert line.low_share == pytest.approx(
            share_of(float(gained), float(there.loss_adults.sum())), rel=1e-9, abs=1e-12
        )


def test_what_is_drawn_stays_what_it_is(tmp_path: Path) -> None:
    """Shares stay shares, residents follow drifters, quotes stay; sizes and lags may move."""
    _, evaluation, _ = made(tmp_path, 1)
    catchment = evaluation.catchment
    ranges = ranges_of(catchment)
    high = {name: each.high for name, each in ranges.items()}
    there = with_values(evaluation, high)
    offtakes = there.catchment.table("offtakes")
    night = offtakes.number("night_use_share")
    assert ((night >= 0) & (night <= 1) | np.isnan(night)).all()
    for kept in (there.efficacy.drifter, there.efficacy.resident):
        assert ((kept >= 0) & (kept <= 1)).all()
    quoted = evaluation.costs.quoted
    for share in (0.0, 0.3, 1.0):
        capital = capital_at(evaluation, np.full(len(quoted), share))
        assert (capital[quoted] == evaluation.costs.capital[quoted]).all()
    assert (capital_at(evaluation, np.ones(len(quoted))) >= evaluation.costs.capital).all()


def test_ranges_nobody_gave_are_named(tmp_path: Path) -> None:
    """An absent range is half to double and on the list of the assumed; a given one is not."""
    _, evaluation, _ = made(tmp_path, 1)
    bare = replace(evaluation.catchment, settings=replace(evaluation.catchment.settings, ranges={}))
    assert {*BY_GUILD, *BY_SITE} <= set(assumed_ranges(bare))
    each = ranges_of(bare)["encounter"]
    assert (each.low[0], each.value[0], each.high[0]) == (0.5, 1.0, 2.0)
    told = assumed_ranges(with_ranges(evaluation, NO_RANGE).catchment)
    assert told == ()


def test_the_triangle_is_a_triangle() -> None:
    """Its mean is a third of low + value + high, its ends the ends, its value's rank the rise's."""
    low, value, high = (np.array([x]) for x in (0.4, 1.0, 2.2))
    draws = triangular(low, value, high, even_shares(200_000))
    assert draws.mean() == pytest.approx((0.4 + 1.0 + 2.2) / 3, rel=1e-6)
    assert triangular(low, value, high, np.array([0.0, 1.0])).tolist() == [0.4, 2.2]
    assert (draws < 1.0).mean() == pytest.approx((1.0 - 0.4) / (2.2 - 0.4), abs=1e-5)
    assert triangular(value, value, value, even_shares(3)).tolist() == [1.0, 1.0, 1.0]


def test_told_to_stop_it_stops(tmp_path: Path) -> None:
    """A long run of trials ends with Cancelled, within 2 s of being told."""
    _, evaluation, most = made(tmp_path, 1)
    answer = fund(evaluation, budget_of(evaluation, 0.5, most))
    job = Job(lambda progress: how_sure(evaluation, answer, progress, trials=100_000))
    while job.progress.done < 12:
        assert not job.wait(0.05)
    job.cancel()
    assert job.wait(2.0)
    with pytest.raises(Cancelled):
        job.result()
