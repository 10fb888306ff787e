"""From heads to adults and over years, worked by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.river.adults import thirds, year_weights
from slackwater.river.river import prepare
from tests.river_builder import river_of

DAYS = 365 + 366 + 365  # July 2018 to June 2021
PUMP = {"reach_id": "r", "capacity_m3s": 1.0, "chainage_m": 15_000.0}


def three_years(flows: tuple[float, float, float], **more: Any) -> Evaluation:
    """A reach over three years of constant flow each; the pump draws 1 m3/s."""
    flow = np.repeat(flows, (365, 366, 365))
    return evaluate(
        river_of([{"reach_id": "r"}], [PUMP], production=[{"reach_id": "r", "production": 1000.0}],
                 flows={"G": flow}, days=DAYS, **more)
    )  # fmt: skip


def test_means_over_years_by_their_weights() -> None:
    """At 10, 20 and 5 m3/s the pump takes 100, 50 and 200; weights 2, 1, 1 mean 112.5."""
    plain = three_years((10.0, 20.0, 5.0))
    assert plain.measured.taken[0, :, 0] == pytest.approx([100.0, 50.0, 200.0])
    assert plain.taken[0, 0] == pytest.approx(350 / 3)
    weighted = three_years((10.0, 20.0, 5.0), settings={"year_weights": {"2018": 2.0}})
    assert year_weights(weighted.catchment) == pytest.approx([0.5, 0.25, 0.25])
    assert weighted.taken[0, 0] == pytest.approx(112.5)


def test_dry_median_and_wet() -> None:
    """Of three years the third is dry, the first median, the second wet: losses 200, 100, 50."""
    evaluation = three_years((10.0, 20.0, 5.0))
    order = {name: years.tolist() for name, years in thirds(evaluation.river).items()}
    assert order == {"dry": [2], "median": [0], "wet": [1]}
    assert {name: loss[0] for name, loss in evaluation.loss_adults_in.items()} == pytest.approx(
        {"dry": 200.0, "median": 100.0, "wet": 50.0}
    )


def test_one_year_is_dry_median_and_wet() -> None:
    """With one year it stands for all three."""
    catchment = river_of([{"reach_id": "r"}], [PUMP])
    assert {k: v.tolist() for k, v in thirds(prepare(catchment)).items()} == {
        "dry": [0], "median": [0], "wet": [0]}  # fmt: skip


def test_adults_of_drifters_and_residents() -> None:
    """100 drifters a year x .02 x weight 3 = 6; 2 residents/ML x 31536 ML x .5 x .001 x 3 = 94.608.

    1 m3/s for 365 days is 31,536 ML. A screen with .6 for drifters and .9 for residents gains
    3.6 + 85.1472 = 88.7472.
    """
    evaluation = evaluate(
        river_of(
            [{"reach_id": "r"}],
            [{**PUMP, "position": 0.5}],
            production=[{"reach_id": "r", "production": 2000.0}],
            guilds=[{"weight": 3.0, "adult_per_settler": 0.02, "resident_per_ml": 2.0,
                     "adult_per_resident": 0.001}],
            efficacy=[{"option_id": "s0", "guild_id": "g0", "drifter": 0.6, "resident": 0.9}],
        )
    )  # fmt: skip
    assert evaluation.volume_ml[0] == pytest.approx(31_536)
    assert evaluation.loss_adults[0] == pytest.approx(6.0 + 94.608)
    assert evaluation.gain_adults[0, 0] == pytest.approx(3.6 + 85.1472)
    assert evaluation.gain[0, 0, 0] == pytest.approx(60.0)


def test_a_fitted_screen_counts_as_it_is() -> None:
    """With .5 fitted the pump takes half; a better one of .8 gains .3 of what an open one takes."""
    options = [{"option_id": "old"}, {"option_id": "new"}]
    evaluation = evaluate(
        river_of(
            [{"reach_id": "r"}], [{**PUMP, "fitted": "old"}],
            production=[{"reach_id": "r", "production": 1000.0}], options=options,
            efficacy=[{"option_id": "old", "guild_id": "g0", "drifter": 0.5},
                      {"option_id": "new", "guild_id": "g0", "drifter": 0.8}],
        )
    )  # fmt: skip
    assert evaluation.taken[0, 0] == pytest.approx(50.0)
    assert evaluation.gain[0, 0] == pytest.approx([0.0, 30.0])
    assert evaluation.catchment.table("options").keys[evaluation.best_option[0]] == "new"


def test_overlap_of_a_season_and_a_draw() -> None:
    """Drifters pass on 4 days alike and the pump runs on 2 of them and 2 others: half overlaps."""
    metered = [
        {"offtake_id": "o0", "date": f"2018-10-{day:02d}", "draw_m3s": 1.0}
        for day in (10, 11, 20, 21)
    ]
    evaluation = evaluate(
        river_of(
            [{"reach_id": "r", "length_m": 1000.0}],
            [{"reach_id": "r", "chainage_m": 600.0, **{f"use_{m:02d}": 0.0 for m in range(1, 13)}}],
            production=[{"reach_id": "r", "production": 1000.0}],
            guilds=[{"window_start": "10-08", "window_full": "10-08", "window_easing": "10-11",
                     "window_end": "10-11", "full_season_days": 4.0}],
            metered=metered,
        )
    )  # fmt: skip
    assert evaluation.overlap[0] == pytest.approx(0.5)
    assert evaluation.taken[0, 0] == pytest.approx(1000 * 0.5 * 0.1)
