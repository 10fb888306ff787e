"""Score and rank worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.decisions.score import (
    column_values,
    cost_values,
    rank_offtakes,
    risk_values,
    to_millionths,
    to_thousandths,
)


def test_risk_runs_over_three_decades() -> None:
    """1000, 100, 10, 1 and 0.1 of a largest 1000 are 1, 2/3, 1/3, 0 and held at 0; no loss is 0."""
    ours = risk_values(np.array([1000.0, 100.0, 10.0, 1.0, 0.1, 0.0]))
    assert ours == pytest.approx([1, 2 / 3, 1 / 3, 0, 0, 0], abs=1e-12)
    assert not risk_values(np.zeros(3)).any()


def test_cost_is_logarithmic_between_least_and_most() -> None:
    """10, 100 and 1000 are 1, 1/2 and 0; none is 0; all equal are 1."""
    assert cost_values(np.array([10.0, 100.0, 1000.0, np.nan])) == pytest.approx([1, 0.5, 0, 0])
    assert cost_values(np.array([7.0, 7.0, np.nan])).tolist() == [1, 1, 0]
    assert cost_values(np.array([np.nan])).tolist() == [0]


def test_a_column_is_linear_and_clamped() -> None:
    """From worst 10 to best 2: 10 is 0, 4 is 3/4, 1 and 12 are clamped, empty is 0."""
    ours = column_values(np.array([10.0, 4.0, 1.0, 12.0, np.nan]), worst=10, best=2)
    assert ours.tolist() == [0, 0.75, 1, 0, 0]


def test_rounding_is_half_up() -> None:
    """Half a millionth goes up, also where the even one lies below."""
    assert to_millionths(np.array([0.5e-6, 1.5e-6, 2.4999e-6])).tolist() == [1, 2, 2]


def test_weights_sum_to_a_thousand() -> None:
    """Thirds are 334, 333, 333: the largest remainder is equal, so the first gets the one left."""
    assert to_thousandths([1.0, 1.0, 1.0]).tolist() == [334, 333, 333]
    assert to_thousandths([0.6, 0.1, 0.3]).tolist() == [600, 100, 300]
    assert to_thousandths([1.0, 2.0, 4.0]).tolist() == [143, 286, 571]  # .857, .714, .429 left over


def test_score_and_ties() -> None:
    """.6 x .5 + .4 x 1 = .7; equal scores go by larger loss, then by id."""
    ranking = rank_offtakes(
        [
            ("risk", 0.6, np.array([0.5, 1.0, 1.0, 1.0])),
            ("cost", 0.4, np.array([1.0, 0.25, 0.25, 0.25])),
        ],
        np.array([9.0, 1.0, 2.0, 1.0]),
        ["d", "c", "b", "a"],
    )
    assert ranking.score.tolist() == pytest.approx([0.7, 0.7, 0.7, 0.7])
    assert ranking.order.tolist() == [0, 2, 3, 1]  # loss 9, 2, then a before c
    assert ranking.rank.tolist() == [1, 4, 2, 3]
