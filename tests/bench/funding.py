"""How fast is the best set for a budget, and how fast is HiGHS on one program of flows, in one run?

Invented trees with usual and with strong taking, and the demo catchment. Processor seconds of all
threads, compiled code warmed. HiGHS starts from our set and has `HIGHS_SECONDS` (environment, 120
unless told); writing its program is not counted. A ratio judges: its seconds to the gap that it
reached against ours to the same gap, with usual taking. Where either's bound is below the other's
set, the run fails whatever the ratios.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np

from slackwater.decisions.best_set import BestSet, find_best_set
from slackwater.decisions.by_score import fund_by_score
from slackwater.decisions.curve import benefit_curve
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.evaluation import evaluate
from slackwater.desk.opening import open_catchment
from slackwater.progress import Progress
from tests.bench.busy import calibrate, why_not_judged
from tests.bench.flow_milp import flow_program
from tests.bench.highs_run import Solved, solve
from tests.bench.trees import STRONG, USUAL, Funding, make_funding

DEMO = Path(__file__).resolve().parents[2] / "demo_data" / "lantern.gpkg"
DEMO_BUDGETS = (0.5e6, 1e6, 2.5e6, 5e6)
DEMO_SECONDS = (1.0, 10.0, 60.0)
HIGHS_SECONDS = float(os.environ.get("HIGHS_SECONDS", "120"))
OUR_SECONDS = 60.0
TAKING = {"usual": USUAL, "strong": STRONG}
SETS = ((200, 1e-6, 1.0), (1_000, 1e-4, 5.0))
CURVES = ((10_000, 1e-4, 5.0), (100_000, 1e-4, 30.0))
"""Offtakes, gap asked for (the median of a curve), and the seconds that are the goal."""
BUDGETS, MOST_SHARE = 100, 0.3
"""Budgets of a curve, even up to this share of what the dearest screen everywhere would cost."""
MOST_FOR_HIGHS = 10_000
FLOOR = 10.0
SEED = 1
ROUNDING = 1e-8
Answer = TypeVar("Answer")
Judged = tuple[float, bool]
"""How many times faster we are, and whether all bounds are true."""


def timed(function: Callable[[], Answer]) -> tuple[Answer, float]:
    """What a function gives and its processor seconds."""
    begun = time.process_time()
    answer = function()
    return answer, time.process_time() - begun


def best_set(funding: Funding, gap: float) -> tuple[BestSet, float]:
    """Our set to a gap, and seconds."""
    return timed(lambda: find_best_set(funding.round, funding.gains, gap=gap, seconds=OUR_SECONDS))


def highs(funding: Funding, gap: float, start: Mapping[int, int]) -> tuple[Solved, float]:
    """HiGHS' set from ours, and seconds."""
    program = flow_program(funding)
    return timed(lambda: solve(program, gap=gap, seconds=HIGHS_SECONDS, start=start))


def goal(taking: str, gap: float, goal_s: float, reached: float, seconds: float) -> str:
    """Say whether the goal was met, where there is one."""
    if taking != "usual":
        return ""
    met = "met" if reached <= gap and seconds <= goal_s else "NOT met"
    return f" (goal {gap:.0e} in {goal_s:g} s: {met})"


def judge(benefit: float, bound: float, theirs: Solved, their_s: float, same_s: float) -> Judged:
    """Print how HiGHS did on a round; ``same_s`` are our seconds to its gap, infinite for never."""
    ratio = their_s / same_s
    same = f"{same_s:.2f} s, {ratio:.0f} times faster" if ratio else "never came"
    true = max(theirs.objective / bound, benefit / theirs.upper_bound) <= 1 + ROUNDING
    print(f"    HiGHS gap {theirs.gap:.1e} in {their_s:.1f} s ({theirs.status}); to that gap ours "
          + same + ("" if true else "; A BOUND IS FALSE"))  # fmt: skip
    return ratio, true


def compare_set(offtakes: int, taking: str, gap: float, goal_s: float) -> Judged:
    """Print one comparison at one budget."""
    funding = make_funding(offtakes, SEED, shares=TAKING[taking])
    ours, seconds = best_set(funding, gap)
    print(f"  {offtakes:,} offtakes, {taking} taking: gap {ours.gap:.1e} in {seconds:.2f} s"
          + goal(taking, gap, goal_s, ours.gap, seconds))  # fmt: skip
    theirs, their_s = highs(funding, gap, ours.picks)
    same, same_s = (ours, seconds) if theirs.gap <= gap else best_set(funding, theirs.gap)
    if same.gap > max(theirs.gap, gap):
        same_s = np.inf
    return judge(ours.benefit, ours.upper_bound, theirs, their_s, same_s)


def compare_curve(offtakes: int, taking: str, gap: float, goal_s: float) -> Judged:
    """Print one comparison of a whole curve with HiGHS at its middle budget alone."""
    funding = make_funding(offtakes, SEED, shares=TAKING[taking], budget_share=MOST_SHARE)
    budgets = funding.round.budget * np.arange(1, BUDGETS + 1) / BUDGETS
    ours, seconds = timed(lambda: benefit_curve(funding.round, funding.gains, budgets))
    median = float(np.median(ours.gap))
    print(f"  {offtakes:,} offtakes, {taking} taking, {BUDGETS} budgets: median gap {median:.1e}, "
          f"worst {ours.gap.max():.1e}, in {seconds:.2f} s"
          + goal(taking, gap, goal_s, median, seconds))  # fmt: skip
    if offtakes > MOST_FOR_HIGHS:
        return np.inf, True
    middle = len(ours.budgets) // 2
    at = replace(funding, round=replace(funding.round, budget=float(ours.budgets[middle])))
    theirs, their_s = highs(at, gap, ours.picks(middle))
    same_s = seconds if ours.gap[middle] <= max(theirs.gap, gap) else np.inf
    return judge(float(ours.benefit[middle]), float(ours.upper_bound[middle]), theirs, their_s,
                 same_s)  # fmt: skip


def demo() -> None:
    """Print how near the demo's best set is proved after some seconds, budget by budget.

    The search tells of better sets as they come, with its bound so far: gaps are at most these.
    """
    evaluation = evaluate(open_catchment(DEMO).catchment)
    gains = gains_of(evaluation, Progress())
    heads = evaluation.taken.sum(axis=0)
    print(f"The demo, {len(heads)} offtakes, every guild, year and cohort:")
    gains.telescoped()
    for budget in DEMO_BUDGETS:
        round_ = round_of(evaluation, budget, Conditions())
        gaps: list[tuple[float, float]] = []
        begun = time.process_time()

        def keep(answer: BestSet, gaps: list = gaps, begun: float = begun) -> None:
            gaps.append((time.process_time() - begun, answer.gap))

        best = find_best_set(round_, gains, seconds=2 * max(DEMO_SECONDS), found=keep)
        keep(best)
        within = {s: [f"{gap:.1e}" for at_s, gap in gaps if at_s <= s] for s in DEMO_SECONDS}
        listed = fund_by_score(round_.sites, np.argsort(-heads), round_.option_ids, budget)
        lost = 1 - float(gains.benefit([dict(listed.picks)])[0]) / best.benefit
        print(f"  {budget / 1e6:g} M: first answer {gaps[0][0]:.2f} s, gap at most "
              + ", ".join(f"{got[-1] if got else 'none'} at {s:g} s" for s, got in within.items())
              + f"; done {gaps[-1][0]:.1f} s, gap {best.gap:.1e}; "
              f"in order of larvae taken {lost:.0%} less")  # fmt: skip


def run() -> bool:
    """Run all; give whether every bound was true and every floor that could be judged held."""
    loads, calibrations = [os.getloadavg()[0]], calibrate()
    warm = make_funding(60, SEED)
    best_set(warm, 1e-3)
    benefit_curve(warm.round, warm.gains, warm.round.budget * np.linspace(0.5, 1.0, 3))
    print(f"The best set on invented trees, 12 classes, seed {SEED}, against HiGHS with "
          f"{HIGHS_SECONDS:g} s from our set:")  # fmt: skip
    judged = {taking: [compare_set(n, taking, gap, goal_s) for n, gap, goal_s in SETS]
              + [compare_curve(n, taking, gap, goal_s) for n, gap, goal_s in CURVES]
              for taking in TAKING}  # fmt: skip
    demo()
    loads.append(os.getloadavg()[0])
    reason = why_not_judged(loads, calibrations + calibrate())
    least = min(ratio for ratio, _ in judged["usual"])
    verdict = f"not judged: {reason}" if reason else "held" if least >= FLOOR else "NOT held"
    print(f"Floor of {FLOOR:g} times HiGHS with usual taking: least {least:.0f}, {verdict}")
    print(f"Load average before {loads[0]:.2f}, after {loads[-1]:.2f}")
    return verdict != "NOT held" and all(true for each in judged.values() for _, true in each)


if __name__ == "__main__":
    raise SystemExit(0 if run() else 1)
