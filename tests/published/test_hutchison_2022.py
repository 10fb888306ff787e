"""How many fish does a pump take a megalitre, and over how many decades does that run?"""

from __future__ import annotations

import numpy as np

from slackwater.decisions.score import risk_values
from slackwater.desk.evaluation import evaluate
from tests.river_builder import river_of

SOURCE = "Hutchison et al. 2022, ASFB abstract 84368"
WHERE = "abstract: river pumps took 0.6-137.2 fish/ML, mean 29"
KNOWN = "text read"

LEAST, MEAN, MOST = 0.6, 29.0, 137.2


def test_fish_a_megalitre(agrees) -> None:
    """A pump that draws 1 ML a day for a year at the mean rate takes 29 x 365 residents."""
    catchment = river_of(
        [{"reach_id": "r"}], [{"reach_id": "r", "capacity_m3s": 1 / 86.4}],
        guilds=[{"resident_per_ml": MEAN, "adult_per_resident": 1.0}],
    )  # fmt: skip
    evaluation = evaluate(catchment)
    agrees("ML drawn in a year of 1 ML/d", 365.0, float(evaluation.volume_ml[0]), within=1e-9)
    agrees("residents taken", MEAN * 365, float(evaluation.loss_adults[0]), within=1e-6)


def test_three_decades_hold_the_published_range(agrees) -> None:
    """The range runs over 2.36 decades, so on the risk scale of three its least stands above 0."""
    least, most = risk_values(np.array([LEAST, MOST]))
    agrees("risk of the most", 1.0, float(most), within=0.0)
    agrees("risk of the least, 1 - 2.359 / 3", 0.2136, float(least), within=5e-5)
