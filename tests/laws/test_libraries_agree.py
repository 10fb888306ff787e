"""Money, weighted sums, day length and distances against independent libraries."""

from __future__ import annotations

import datetime as dt
import math

import astral
import astral.sun
import numpy as np
import numpy_financial as npf
import pymcdm
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from slackwater.catchment.placing import geodesic_length_m, snap
from slackwater.decisions.score import rank_offtakes
from slackwater.river.taking import night_fraction
from slackwater.screens.cost import annuity_factor, life_cycle_cost
from slackwater.screens.landholder import landholder_side
from tests.river_builder import river_of

RATES = (0.0, 0.02, 0.035, 0.07, 0.10)
# The page's formula takes the sun's declination from one sine; near the equinoxes it is up to half
# a degree off, which at 45 degrees is ten minutes a day (measured against astral: 0.0069).
DAY_LENGTH_OFF = 0.0075
# The page finds the nearest place on lines straight in the map about the offtake, this test on
# lines straight in longitude and latitude: over a leg of 3 km they part by about a decimetre.
STRAIGHTNESS_M = 0.25


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("years", [1.0, 7.5, 20.0, 40.0])
def test_annuity_is_numpy_financials(rate: float, years: float) -> None:
    """Present worth of 1 a year is numpy-financial's `pv`."""
    with np.errstate(invalid="ignore"):  # numpy-financial divides by a rate of 0 and drops it
        theirs = float(-npf.pv(rate, years, 1.0))
    assert float(annuity_factor(years, rate)) == pytest.approx(theirs)


@pytest.mark.parametrize("rate", RATES)
def test_life_cycle_cost_is_a_stream_of_payments(rate: float) -> None:
    """A screen paid off over its life (`pmt`) and kept up, over the horizon (`pv`)."""
    capital, upkeep, life, horizon = 50_000.0, 1_500.0, 15.0, 20.0
    with np.errstate(invalid="ignore"):
        yearly = float(-npf.pmt(rate, life, capital)) + upkeep
        expected = float(-npf.pv(rate, horizon, yearly))
    ours = life_cycle_cost(np.array(capital), np.array(upkeep), np.array(life), horizon, rate)
    assert float(ours) == pytest.approx(expected)


def test_landholders_net_present_value_is_npv() -> None:
    """What is paid now and saved each year over the horizon is numpy-financial's `npv`."""
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": 0.3, "flushes_per_day": 8.0, "flush_minutes": 5.0,
          "flush_litres": 900.0, "filter_cleaning_hours_month": 6.0, "pumping_months": 8.0,
          "pump_head_m": 15.0, "pump_efficiency": 0.7, "wear_cost_year": 200.0}],
        options=[{"filter_cut_share": 0.5, "head_loss_m": 0.03}],
        prices=[{"item": "energy_kwh", "amount": 0.3}, {"item": "labour_hour", "amount": 45.0},
                {"item": "water_ml", "amount": 100.0}],
        settings={"landholder_share": 0.25, "discount_rate": 0.06, "horizon_years": 20},
    )  # fmt: skip
    side = landholder_side(catchment, 0, 0, capital=40_000.0, upkeep_per_year=500.0)
    assert side.saving_per_year is not None
    stream = [-10_000.0] + [side.saving_per_year - 500.0] * 20
    assert side.net_present_value == pytest.approx(float(npf.npv(0.06, stream)))


@given(st.integers(0, 10_000))
def test_score_is_pymcdms_weighted_sum(seed: int) -> None:
    """Scores are pymcdm's weighted sum of the same criteria, to the rounding to whole numbers."""
    rng = np.random.default_rng(seed)
    n, values = 12, rng.random((12, 4))
    weights = rng.integers(1, 10, 4) * 1.0
    weights = np.round(weights / weights.sum(), 3)
    weights[0] += 1 - weights.sum()
    names = ["risk", "overlap", "cost", "column"]
    ranking = rank_offtakes(
        [(name, w, v) for name, w, v in zip(names, weights, values.T, strict=True)],
        np.zeros(n), [f"o{i:02d}" for i in range(n)],
    )  # fmt: skip

    def as_they_are(column: np.ndarray, cost: bool = False) -> np.ndarray:  # noqa: ARG001
        return column

    weighted_sum = pymcdm.methods.WSM(normalization_function=as_they_are)
    theirs = weighted_sum(values, weights, np.ones(4))
    assert ranking.score == pytest.approx(theirs, abs=1e-6)
    assert np.all(np.diff(theirs[ranking.order]) <= 2e-6)


@pytest.mark.parametrize("latitude", [-45.0, -36.0, -20.0, 0.0, 27.0, 45.0])
def test_night_is_what_astral_leaves_of_the_day(latitude: float) -> None:
    """The night fraction is 1 less the time between astral's geometric sunrise and sunset."""
    observer = astral.Observer(latitude=latitude, longitude=0.0)
    for day_of_year in range(1, 366, 13):
        date = dt.date(2019, 1, 1) + dt.timedelta(days=day_of_year - 1)
        rise, sets = (
            astral.sun.time_at_elevation(
                observer, 0.0, date, direction, tzinfo=dt.UTC, with_refraction=False
            )
            for direction in (astral.SunDirection.RISING, astral.SunDirection.SETTING)
        )
        day = ((sets - rise).total_seconds() % 86400) / 86400
        ours = float(night_fraction(np.array([day_of_year]), np.array([latitude]))[0, 0])
        assert ours == pytest.approx(1 - day, abs=DAY_LENGTH_OFF), date


def crooked_line(seed: int) -> shapely.LineString:
    """A wandering line of about 30 km."""
    rng = np.random.default_rng(seed)
    steps = rng.uniform([0.005, -0.02], [0.04, 0.02], (12, 2))
    return shapely.LineString(np.array([145.0, -36.0]) + np.cumsum(steps, axis=0))


@pytest.mark.parametrize("seed", range(5))
def test_length_is_the_sum_of_pyprojs_geodesics(seed: int) -> None:
    """A line's length is the sum of its legs by pyproj's inverse geodesic on WGS84."""
    line = crooked_line(seed)
    legs = [
        Geod(ellps="WGS84").inv(*a, *b)[2]
        for a, b in zip(line.coords[:-1], line.coords[1:], strict=True)
    ]
    assert geodesic_length_m(line) == pytest.approx(math.fsum(legs), rel=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_snapping_finds_the_geodesically_nearest_place(seed: int) -> None:
    """No point of the line, taken every few metres, is nearer by pyproj's geodesic."""
    geod, line = Geod(ellps="WGS84"), crooked_line(seed)
    rng = np.random.default_rng(seed + 100)
    vertex = np.array(line.coords[int(rng.integers(1, 11))])
    point = shapely.Point(vertex + rng.normal(0, 0.002, 2))
    distance_m, share = snap(point, line)
    dense = shapely.segmentize(line, 2e-5)  # about 2 m
    lon, lat = np.array(dense.coords).T
    n = len(lon)
    away = geod.inv(np.full(n, point.x), np.full(n, point.y), lon, lat)[2]
    so_far = np.concatenate(([0.0], np.cumsum(geod.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2])))
    nearest = int(np.argmin(away))
    assert distance_m == pytest.approx(away[nearest], abs=STRAIGHTNESS_M)
    assert share * geodesic_length_m(line) == pytest.approx(so_far[nearest], abs=5.0)
