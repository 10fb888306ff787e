"""Units are a way of writing: whichever people read, the river does not notice."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.units import FLOW_PER_M3S, flow_in
from tests.random_rivers import random_rows
from tests.river_builder import river_of

SEEDS = st.integers(0, 10_000)
FEET_A_METRE = 1 / 0.3048


def times(rows: list[dict[str, Any]], column: str, factor: float) -> list[dict[str, Any]]:
    """Multiply a column."""
    return [{**row, column: row[column] * factor} for row in rows]


def in_flow_unit(rows: dict[str, Any], unit: str) -> dict[str, Any]:
    """Write every flow of a river in another unit; v = a Q**b needs another a to stay the same."""
    factor = flow_in(1.0, unit)
    return {
        **rows,
        "flows": {gauge: flow * factor for gauge, flow in rows["flows"].items()},
        "offtakes": times(rows["offtakes"], "capacity_m3s", factor),
        "reaches": [
            {**row, "velocity_coef": row["velocity_coef"] * factor ** -row["velocity_exp"]}
            for row in rows["reaches"]
        ],
    }


def in_feet(rows: dict[str, Any]) -> dict[str, Any]:
    """Write every length along the river in feet, and velocities in feet a second."""
    reaches = times(rows["reaches"], "length_m", FEET_A_METRE)
    return {
        **rows,
        "reaches": times(reaches, "velocity_coef", FEET_A_METRE),
        "offtakes": times(rows["offtakes"], "chainage_m", FEET_A_METRE),
    }


def assert_same_fish(one: Evaluation, other: Evaluation) -> None:
    """Everything about fish agrees."""
    for name in ("taken", "loss", "overlap", "gain", "balance"):
        assert getattr(other, name) == pytest.approx(getattr(one, name), rel=1e-9), name


@pytest.mark.parametrize("unit", FLOW_PER_M3S)
@given(seed=SEEDS)
def test_the_unit_of_flow_drops_out(unit: str, seed: int) -> None:
    """A river written in ML/d, L/s or cfs takes the same fish; volumes follow the unit."""
    rows = random_rows(seed)
    one, other = evaluate(river_of(**rows)), evaluate(river_of(**in_flow_unit(rows, unit)))
    assert_same_fish(one, other)
    assert other.volume_ml == pytest.approx(one.volume_ml * FLOW_PER_M3S[unit], rel=1e-9)


@given(SEEDS)
def test_the_unit_of_length_drops_out(seed: int) -> None:
    """A river written in feet takes the same fish."""
    rows = random_rows(seed)
    one, other = evaluate(river_of(**rows)), evaluate(river_of(**in_feet(rows)))
    assert_same_fish(one, other)


@given(SEEDS, st.floats(0.01, 100))
def test_the_unit_of_money_moves_no_rank(seed: int, factor: float) -> None:
    """In another currency every cost follows the rate; scores and ranks stay."""
    rows = {**random_rows(seed), "options": [{"unit_price": 1200.0}]}
    prices = [{"item": "mobilisation", "amount": 500.0}, {"item": "design", "amount": 0.1}]
    dearer = [
        {**row, "amount": row["amount"] * (1.0 if row["item"] == "design" else factor)}
        for row in prices
    ]
    one = evaluate(river_of(**rows, prices=prices))
    rows["options"] = [{"unit_price": 1200.0 * factor}]
    other = evaluate(river_of(**rows, prices=dearer))
    assert other.costs.life_cycle == pytest.approx(one.costs.life_cycle * factor, rel=1e-12)
    assert np.abs(other.ranking.values_millionths - one.ranking.values_millionths).max() <= 1
    assert other.best_option.tolist() == one.best_option.tolist()


@pytest.mark.parametrize("unit", FLOW_PER_M3S)
@given(flow=st.floats(0, 1e6))
def test_a_flow_goes_there_and_back(unit: str, flow: float) -> None:
    """What is shown in a unit, divided by how many of it one m3/s is, is the flow again."""
    assert flow_in(flow, unit) / flow_in(1.0, unit) == pytest.approx(flow, rel=1e-15)
