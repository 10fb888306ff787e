"""The server against the loop-by-loop reference, which knows nothing of it."""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from slackwater.desk.evaluation import evaluate
from slackwater.desk.funding import by_score
from slackwater.desk.opening import open_catchment
from slackwater.desk.score_report import score_values
from slackwater.errors import NoSetPossible
from tests.reference import NoSetPossibleError, fund, score
from tests.reference.catchments import generate

NEEDED = ("split", "dry_day", "stranding", "weir", "gap", "trigger", "temperature_corner",
          "leap_year", "two_offtakes_a_reach", "mid_length_tie", "fitted", "metered", "quote",
          "rank_tie")  # fmt: skip
SEEDS = 300
BATCH = 30


def differences(ours: Any, theirs: Any, at: str = "") -> list[str]:
    """Where two results differ by more than 1e-6 relative (1e-9 of a head is nothing)."""
    if isinstance(theirs, dict):
        return [d for key in theirs for d in differences(ours[key], theirs[key], f"{at}/{key}")]
    if isinstance(theirs, list):
        if len(ours) != len(theirs):
            return [f"{at}: {len(ours)} rows, not {len(theirs)}"]
        pairs = enumerate(zip(ours, theirs, strict=True))
        return [d for i, (a, b) in pairs for d in differences(a, b, f"{at}/{i}")]
    if isinstance(theirs, float) and isinstance(ours, (int, float)):
        same = math.isclose(ours, theirs, rel_tol=1e-6, abs_tol=1e-9)
    else:
        same = ours == theirs
    return [] if same else [f"{at}: {ours!r}, not {theirs!r}"]


def funded_or_clash(folder: Path, budget: float) -> tuple[Any, Any]:
    """The reference's list by score, or why no set is possible."""
    try:
        return fund(folder, budget)["by_score"], None
    except NoSetPossibleError as refusal:
        return None, refusal.clash


def batches() -> list[object]:
    """Half of all in each run, the other half where many rounds are asked for."""
    half = SEEDS // 2
    return [
        first if first < half else pytest.param(first, marks=pytest.mark.long)
        for first in range(0, SEEDS, BATCH)
    ]


@pytest.mark.parametrize("first", batches())
def test_server_and_reference_give_the_same_numbers(tmp_path: Path, first: int) -> None:
    """Every number of every offtake agrees, and so does the list by score at half of all costs."""
    for seed in range(first, first + BATCH):
        folder = tmp_path / str(seed)
        generate(folder, seed)
        evaluation = evaluate(open_catchment(folder).catchment)
        expected = score(folder)
        assert differences(score_values(evaluation), expected) == [], f"seed {seed}"
        budget = sum(offtake["capital"] or 0.0 for offtake in expected["offtakes"]) / 2
        theirs, clash = funded_or_clash(folder, budget)
        if clash:
            with pytest.raises(NoSetPossible) as refused:
                by_score(evaluation, budget)
            assert differences(list(refused.value.clash), clash) == [], f"seed {seed}"
            continue
        ours = by_score(evaluation, budget)
        chosen = [{"offtake_id": i, "option_id": o, "cost": cost} for i, o, cost in ours.chosen]
        listed = {
            "spent": ours.spent, "benefit_adults": ours.benefit_adults, "chosen": chosen
        }  # fmt: skip
        assert differences(listed, theirs) == [], f"seed {seed}"


@pytest.mark.long
def test_every_feature_occurs_often_enough_to_matter(tmp_path: Path) -> None:
    """Each thing the model can meet shows in at least 20 of the 300 catchments compared."""
    seen = Counter(f for seed in range(SEEDS) for f in generate(tmp_path / str(seed), seed))
    print("\n".join(f"{feature:24s} {count:4d}" for feature, count in sorted(seen.items())))
    assert {feature: seen[feature] for feature in NEEDED if seen[feature] < 20} == {}
