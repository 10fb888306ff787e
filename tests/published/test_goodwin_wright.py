"""Does the score add as a textbook's additive value model does?"""

from __future__ import annotations

import numpy as np

from slackwater.decisions.score import rank_offtakes

SOURCE = "Goodwin & Wright, Decision Analysis for Management Judgment"
WHERE = "chapter 3, p. 44: weights 32, 26, 23, 10, 6, 3; values 100, 60, 100, 75, 0, 90; sum 80.8"
KNOWN = "text read"

WEIGHTS = (32, 26, 23, 10, 6, 3)
VALUES = (100, 60, 100, 75, 0, 90)


def test_office_location(agrees) -> None:
    """Six criteria with the book's weights and values score 80.8 of 100; one place printed."""
    ranking = rank_offtakes(
        [(f"c{i}", w / 100, np.array([v / 100]))
         for i, (w, v) in enumerate(zip(WEIGHTS, VALUES, strict=True))],
        np.zeros(1), ["office"],
    )  # fmt: skip
    agrees("aggregate value", 80.8, float(ranking.score[0]) * 100, within=0.05)
