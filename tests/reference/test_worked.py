"""The reference gives the worked catchment's numbers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from . import fund, score
from .reading import read_catchment
from .scoring import score_catchment
from .screens import capital, feasible_options, life_cycle_cost
from .seasons import prepare_guild_year, prepare_river, prepare_year

WORKED = Path(__file__).resolve().parents[2].parent / "shared" / "worked"
CATCHMENT = WORKED / "catchment"

pytestmark = pytest.mark.skipif(
    not CATCHMENT.exists(), reason="the worked catchment does not stand beside this repository"
)

# Lags in days, as the worked catchment's page prints them.
REACHES = ["ember_up", "tinder", "ember_mid", "ember_low", "snuffer", "taper", "candlemere"]
LAGS = {
    ("glowfin", 2018): [4, 4, 3, 2, 2, 1, 0],
    ("glowfin", 2019): [3, 4, 3, 2, 2, 1, 0],
    ("glowfin", 2020): [3, 3, 2, 2, 2, 1, 0],
    ("mothling", 2018): [4, 5, 3, 2, 2, 1, 0],
    ("mothling", 2019): [4, 4, 3, 2, 2, 1, 0],
    ("mothling", 2020): [3, 3, 2, 2, 2, 1, 0],
}
# Risk, overlap, cost, chainage in metres.
CRITERIA = {
    "LAMP-05": (0.685245389, 0.344983295, 1.000000000, 31091.237),
    "LAMP-01": (0.768452404, 0.320475301, 0.712211155, 17794.430),
    "LAMP-04": (0.766777429, 0.314315202, 0.588194787, 20000.000),
    "LAMP-02": (1.000000000, 0.341218605, 0.000000000, 9800.000),
    "LAMP-03": (0.728908694, 0.318578422, 0.103141682, 12100.000),
}
# Capital, life-cycle cost, gain in adults, by feasible option.
OPTIONS = {
    "LAMP-05": {"drum": (52416.00, 83180.33, 7.4487), "panel": (33600.00, 37664.19, 6.6068)},
    "LAMP-01": {
        "cone": (83328.00, 109811.34, 15.3785),
        "drum": (71904.00, 114106.36, 12.1896),
        "panel": (53760.00, 60262.71, 12.1342),
    },
    "LAMP-04": {"cone": (99456.00, 131065.15, 14.2259), "drum": (46500.00, 73792.08, 12.0051)},
    "LAMP-02": {"cone": (333312.00, 439245.36, 75.1381), "panel": (172032.00, 192840.67, 59.1419)},
    "LAMP-03": {"cone": (123648.00, 162945.86, 11.9229), "drum": (116256.00, 184489.71, 9.1777)},
}


def assert_same(ours: Any, theirs: Any, where: str = "") -> None:
    """Same shape, same text, numbers to 1e-9 relative."""
    if isinstance(theirs, dict):
        assert set(ours) == set(theirs), where
        for key in theirs:
            assert_same(ours[key], theirs[key], f"{where}.{key}")
    elif isinstance(theirs, list):
        assert len(ours) == len(theirs), where
        for n, (a, b) in enumerate(zip(ours, theirs, strict=True)):
            assert_same(a, b, f"{where}[{n}]")
    elif isinstance(theirs, float):
        assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-12), where
    else:
        assert ours == theirs, where


def test_score_is_the_worked_score() -> None:
    """Every number of the worked score comes out of the model page again."""
    expected = json.loads((WORKED / "score.json").read_text(encoding="utf-8"))
    expected.pop("data_version", None)
    assert_same(score(CATCHMENT), expected)


def test_funding_is_the_worked_funding() -> None:
    """Trying all sets at 175,000 finds the worked set, and the list by score its own."""
    expected = json.loads((WORKED / "fund.json").read_text(encoding="utf-8"))
    expected.pop("data_version", None)
    assert_same(fund(CATCHMENT, 175_000), expected)


@pytest.mark.parametrize(("guild_id", "year"), list(LAGS))
def test_lags_are_the_worked_lags(guild_id: str, year: int) -> None:
    """Lags in whole days agree for each guild and season-year."""
    river = prepare_river(read_catchment(CATCHMENT))
    season = prepare_guild_year(river.catchment.guilds[guild_id], prepare_year(river, year))
    assert [season.lag_days[reach_id] for reach_id in REACHES] == LAGS[(guild_id, year)]


def test_criteria_chainages_and_costs_are_the_worked_ones() -> None:
    """The criteria before rounding, the snapped chainages and each option's cost and gain agree as
    printed.
    """
    scored = score_catchment(CATCHMENT)
    catchment = scored.river.catchment
    for i, (risk, overlap, cost, chainage_m) in CRITERIA.items():
        assert scored.criteria[i] == pytest.approx([risk, overlap, cost], abs=6e-10)
        assert scored.river.network.chainage_m[i] == pytest.approx(chainage_m, abs=6e-4)
        offtake, found = catchment.offtakes[i], {}
        for option in feasible_options(offtake, scored.river):
            found[option.option_id] = (
                capital(offtake, option, catchment),
                life_cycle_cost(offtake, option, catchment),
                scored.gain_adults[i][option.option_id],
            )
        assert set(found) == set(OPTIONS[i])
        for option_id, (spent, whole, gain) in OPTIONS[i].items():
            assert found[option_id][0] == pytest.approx(spent, abs=6e-3)
            assert found[option_id][1] == pytest.approx(whole, abs=6e-3)
            assert found[option_id][2] == pytest.approx(gain, abs=6e-5)
