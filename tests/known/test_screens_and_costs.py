"""Sizes, obstacles, costs and the landholder's side, worked by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from slackwater.catchment.catchment import Catchment
from slackwater.decisions.options import best_options
from slackwater.screens.cost import annuity_factor, life_cycle_cost, price_screens
from slackwater.screens.landholder import landholder_side
from slackwater.screens.sizing import size_screens, units_needed
from tests.river_builder import river_of

PRICES = [{"item": "mount", "kind": "rail_suction", "amount": 9000.0, "low": 8000.0},
          {"item": "access", "kind": "poor", "amount": 5000.0},
          {"item": "mobilisation", "amount": 4000.0},
          {"item": "power", "amount": 17_000.0, "high": 20_000.0},
          {"item": "design", "amount": 0.1},
          {"item": "contingency", "amount": 0.2}]  # fmt: skip


def site(offtake: dict[str, Any], *options: dict[str, Any], **more: Any) -> Catchment:
    """One offtake on one reach, with options."""
    return river_of([{"reach_id": "r", **more.pop("reach", {})}], [{"reach_id": "r", **offtake}],
                    options=options or ({},), **more)  # fmt: skip


def test_units_are_whole() -> None:
    """0.5 m3/s at 0.1 m/s is 5 m2: 2.5 of 2 m2 make 3 units, 5 of 1 m2 exactly 5, 0.1 of 50 one."""
    ours = units_needed(np.array(0.5), np.array(0.1), np.array([2.0, 1.0, 50.0]))
    assert ours.tolist() == [3.0, 5.0, 1.0]


def test_capital_by_hand() -> None:
    """(3 x 2000 + 9000 + 5000 + 17000 + 4000) x 1.1 x 1.2 = 41,000 x 1.32 = 54,120.

    Low, item by item: 3 x 1500 + 8000 + 2500 + 8500 + 2000 = 25,500 x 1.32 = 33,660; high:
    3 x 4000 + 18000 + 10000 + 20000 + 8000 = 68,000 x 1.32 = 89,760.
    """
    catchment = site(
        {"kind": "rail_suction", "capacity_m3s": 0.5, "access": "poor", "power": "no"},
        {"unit_area_m2": 2.0, "unit_price": 2000.0, "unit_price_low": 1500.0, "needs_power": "yes"},
        prices=PRICES,
    )
    costs = price_screens(catchment, size_screens(catchment))
    assert costs.capital[0, 0] == pytest.approx(54_120)
    assert costs.capital_low[0, 0] == pytest.approx(33_660)
    assert costs.capital_high[0, 0] == pytest.approx(89_760)
    assert costs.upkeep_per_year[0, 0] == pytest.approx(0.02 * 54_120)


def test_a_quote_replaces_the_estimate() -> None:
    """Quoted at 30,000 for one option it has no range; the other option is estimated."""
    catchment = site({"quote": 30_000.0, "quote_option": "s1"}, {}, {}, prices=PRICES)
    costs = price_screens(catchment, size_screens(catchment))
    assert costs.quoted.tolist() == [[False, True]]
    for each in (costs.capital, costs.capital_low, costs.capital_high):
        assert each[0, 1] == 30_000


def test_life_cycle_by_hand() -> None:
    """10,000 for 10 years and 200 a year over 20 years at 7 %: (10,000 / 7.0236 + 200) x 10.594.

    = (1423.78 + 200) x 10.5940 = 17,202.3; at rate 0: (1000 + 200) x 20 = 24,000.
    """
    ours = life_cycle_cost(np.array(1e4), np.array(200.0), np.array(10.0), 20, 0.07)
    assert float(ours) == pytest.approx(17_202.3, abs=0.1)
    flat = life_cycle_cost(np.array(1e4), np.array(200.0), np.array(10.0), 20, 0.0)
    assert float(flat) == pytest.approx(24_000)
    assert float(annuity_factor(20, 0.0)) == 20


OBSTACLES = {
    "kind": ({"kind": "gravity_channel"}, {"kinds": "rail_suction; fixed_suction"}),
    "opening": ({}, {"opening_mm": 3.5}),
    "depth": ({"intake_depth_m": 0.5}, {"min_depth_m": 0.6}),
    "power": ({"power": "no"}, {"needs_power": "yes"}),
    "life": ({}, {"life_years": 9.0}),
    "fitted": ({"fitted": "s0"}, {}),
}


@pytest.mark.parametrize("obstacle", OBSTACLES)
def test_each_obstacle_stands_alone(obstacle: str) -> None:
    """An option ruled out for one reason is infeasible for that reason only."""
    offtake, option = OBSTACLES[obstacle]
    catchment = site(offtake, option, settings={"screen_criteria": {"max_opening_mm": 3.0}})
    sizing = size_screens(catchment)
    against = {word for word, flags in sizing.obstacles.items() if flags[0, 0]}
    assert against == {obstacle}
    assert not sizing.feasible[0, 0]


def test_depth_comes_from_the_intake_then_the_reach() -> None:
    """The intake's depth goes before the reach's; where none is known it is feasible, and said."""
    option = {"min_depth_m": 1.0}
    reach = {"depth_m": 0.8}
    assert size_screens(site({"intake_depth_m": 1.2}, option, reach=reach)).feasible[0, 0]
    assert not size_screens(site({}, option, reach=reach)).feasible[0, 0]
    unknown = size_screens(site({}, option))
    assert unknown.feasible[0, 0]
    assert unknown.depth_unknown[0]


def test_power_that_has_a_price_can_be_brought() -> None:
    """With power in the price list an option that needs it is feasible where there is none."""
    sizing = size_screens(site({"power": "no"}, {"needs_power": "yes"}, prices=PRICES))
    assert sizing.feasible[0, 0]
    assert sizing.brings_power[0, 0]


def test_best_option_is_gain_per_cost_then_gain_then_id() -> None:
    """2 per 1 beats 3 per 2; between equal ratios the larger gain, then the id; no gain, none."""
    gains = np.array([[2.0, 3.0, 0.0], [2.0, 4.0, 0.0], [2.0, 2.0, 2.0], [0.0, -1.0, 0.0]])
    costs = np.array([[1.0, 2.0, 1.0], [1.0, 2.0, 1.0], [1.0, 1.0, 1.0], [1.0, 1.0, 1.0]])
    ours = best_options(gains, costs, np.ones((4, 3), bool), ["b", "c", "a"])
    assert ours.tolist() == [0, 1, 2, -1]


def test_landholder_by_hand() -> None:
    """Half of 9,480 of filter work less 525.6 for the head lost saves 4214.4 a year.

    Capacity 0.1 m3/s, 12 months of 365/12 days. The pump lifts 0.1 x 9.81 x 10 / 0.981 = 10 kW.
    A flush: 1000 litres at 1,000 a ML = 1, and 6 minutes of 10 kW at 1 a kWh = 1; 4 a day x 2 x 365
    = 2,920. Cleaning: 10 h x 12 x 50 = 6,000. Wear 560. Sum 9,480, half 4,740. The screen loses
    0.06 m: 0.06 kW x 24 h x 365 = 525.6. Paid: 0.4 x 8,000 = 3,200 once, 160 a year:
    payback 3200 / 4054.4 = 0.78927 years.
    """
    catchment = site(
        {"capacity_m3s": 0.1, "flushes_per_day": 4.0, "flush_minutes": 6.0, "flush_litres": 1000.0,
         "filter_cleaning_hours_month": 10.0, "pumping_months": 12.0, "pump_head_m": 10.0,
         "pump_efficiency": 0.981, "wear_cost_year": 560.0},
        {"filter_cut_share": 0.5, "head_loss_m": 0.06},
        prices=[{"item": "water_ml", "amount": 1000.0}, {"item": "energy_kwh", "amount": 1.0},
                {"item": "labour_hour", "amount": 50.0}],
        settings={"landholder_share": 0.4, "discount_rate": 0.0, "horizon_years": 10},
    )  # fmt: skip
    side = landholder_side(catchment, 0, 0, capital=8000.0, upkeep_per_year=160.0)
    assert side.pays_once == pytest.approx(3200)
    assert side.saving_per_year == pytest.approx(4740 - 525.6)
    assert side.saving_per_year_low == pytest.approx(2370 - 525.6)
    assert side.payback_years == pytest.approx(0.78927, abs=1e-5)
    assert side.net_present_value == pytest.approx(4054.4 * 10 - 3200)


def test_an_empty_input_is_named_and_no_figure_shown() -> None:
    """Without the flushes a day there is no saving, and the page can say what is missing."""
    catchment = site(
        {"flush_minutes": 6.0, "flush_litres": 1.0, "filter_cleaning_hours_month": 1.0,
         "pumping_months": 6.0, "pump_head_m": 10.0, "pump_efficiency": 0.7},
        {"filter_cut_share": 0.5},
    )  # fmt: skip
    side = landholder_side(catchment, 0, 0, capital=1000.0, upkeep_per_year=20.0)
    assert side.missing == ("offtakes.flushes_per_day", "options.head_loss_m")
    assert side.saving_per_year is None
    assert side.net_present_value is None
