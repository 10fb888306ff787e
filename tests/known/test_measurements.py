"""The worth of a measurement at one offtake, worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import round_of
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.measurements import worth_measuring
from slackwater.desk.trial_draws import ranges_of
from tests.river_builder import river_of

SURE = {
    name: [1.0, 1.0]
    for name in ("encounter", "drift_days", "production", "adult_per_settler", "draw",
                 "night_use_share", "position", "cost")
}  # fmt: skip
GAIN = 80.0
"""A tenth of 1,000 drifters would be taken; a screen keeps out 0.8 of those."""


def one_pump(ranges: dict[str, list[float]], **more: Any) -> Evaluation:
    """One pump that takes a tenth of 1,000 drifters, each worth one adult at the outlet."""
    screens = more.pop("options", ({},))
    return evaluate(
        river_of(
            [{"reach_id": "r"}],
            [{"reach_id": "r", "capacity_m3s": 1.0, "chainage_m": 15000.0, **more}],
            production=[{"reach_id": "r", "production": 1000.0}],
            options=screens,
            efficacy=[
                {"option_id": f"s{i}", "guild_id": "g0", "drifter": kept, "low": kept, "high": kept}
                for i, kept in zip(range(len(screens)), (0.8, 0.4), strict=False)
            ],
            settings={"ranges": {**SURE, **ranges}},
        )
    )


def worths(evaluation: Evaluation, price: float) -> dict[str, float]:
    """Worth by input; each stands once, as there is one site."""
    round_ = round_of(evaluation, 1e9, Conditions())
    ranges = ranges_of(evaluation.catchment)
    return {m.input: m.worth_adults for m in worth_measuring(evaluation, ranges, round_, price)}


@pytest.mark.parametrize("name", ["draw", "position"])
def test_at_the_line_a_sixth_of_the_gain(name: str) -> None:
    """Over [0, 1, 2] at a price at which the screen just pays, E[(x - 1)+] is 1/6 of the gain."""
    evaluation = one_pump({name: [0.0, 2.0]})
    assert evaluation.gain_adults[0, 0] == pytest.approx(GAIN)
    price = GAIN / float(evaluation.costs.capital[0, 0])
    assert worths(evaluation, price) == {name: pytest.approx(GAIN / 6, rel=1e-3)}


def test_a_quote_is_worth_a_sixth_too_and_nothing_once_it_is_there() -> None:
    """With cost over [0, 1, 2] the same sum; a quoted option has no range left."""
    evaluation = one_pump({"cost": [0.0, 2.0]})
    price = GAIN / float(evaluation.costs.capital[0, 0])
    assert worths(evaluation, price) == {"cost": pytest.approx(GAIN / 6, rel=1e-3)}
    quoted = one_pump({"cost": [0.0, 2.0]}, quote=10_000.0, quote_option="s0")
    assert worths(quoted, GAIN / 10_000.0) == {}


def test_nothing_far_from_the_line() -> None:
    """Where the screen pays at every draw, or at none, no measurement is worth anything."""
    evaluation = one_pump({"draw": [0.5, 1.5], "cost": [0.75, 1.5]})
    just = GAIN / float(evaluation.costs.capital[0, 0])
    assert worths(evaluation, 0.3 * just) == {}
    assert worths(evaluation, 3.0 * just) == {}


def test_depth_says_which_screen_can_go_there() -> None:
    """Depth over [0, 1, 2]: the better screen needs 1 m, so half the time the other must do.

    Untold, the other is taken where it pays more than half of the better; told, each half of the
    time. At no price that is (80 + 40) / 2 - max(80 / 2, 40) = 20.
    """
    evaluation = one_pump({"depth_m": [0.0, 2.0]}, options=({"min_depth_m": 1.0}, {}))
    assert worths(evaluation, 0.0) == {"depth_m": pytest.approx(20.0)}
    known = one_pump(
        {"depth_m": [0.0, 2.0]}, options=({"min_depth_m": 1.0}, {}), intake_depth_m=3.0
    )
    assert worths(known, 0.0) == {}
