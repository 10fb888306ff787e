"""How much does it rain, how does that become flow, and how warm is the water?

A made-up weather with wet and dry runs of years drives a soil and two stores in each of three
regions; a dam on the main river keeps winter water for the summer.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from .frame import Bools, Floats, random_stream

FIRST_DAY, LAST_DAY = "2009-06-20", "2022-07-05"
# Season-years from July: how wet against the mean. A long drought, floods, and all between.
WETNESS = {
    2008: 0.55, 2009: 0.45, 2010: 1.85, 2011: 1.45, 2012: 1.0, 2013: 0.85, 2014: 0.65, 2015: 0.5,
    2016: 1.9, 2017: 0.9, 2018: 0.55, 2019: 0.42, 2020: 1.05, 2021: 1.55, 2022: 1.3,
}  # fmt: skip
ALLOCATION = {2009: 0.62, 2015: 0.8, 2018: 0.75, 2019: 0.58}
M3S_PER_RUNOFF_KM2 = 0.0044
DRY_LOSS_QUANTILE = 0.36


@dataclass(frozen=True)
class Climate:
    """Days, and by gauge daily flow as a multiple of its mean, and water temperature (degC)."""

    days: pd.DatetimeIndex
    flow_of_mean: dict[str, Floats]
    water_temp_c: dict[str, Floats]


def make_climate() -> Climate:
    """Weather from a year before the record starts, so that the stores have settled."""
    days = pd.date_range("2008-07-01", LAST_DAY, freq="D")
    rng = random_stream(10)
    wetness = _wetness(days)
    shared = _rain_mm(rng, days, wetness)
    hills = _runoff(0.75 * shared + 0.25 * _rain_mm(rng, days, wetness), days, 0.978, 100.0)
    south = _runoff(0.6 * shared + 0.4 * _rain_mm(rng, days, wetness), days, 0.965, 85.0)
    plain = _runoff(0.5 * shared + 0.5 * _rain_mm(rng, days, wetness), days, 0.955, 70.0)
    creek = np.maximum(plain - np.quantile(plain, DRY_LOSS_QUANTILE), 0.0)
    natural = 0.6 * hills / hills.mean() + 0.4 * south / south.mean()
    flows = {
        "G-EAST": hills,
        "G-LANTERN": _regulated(rng, natural, days),
        "G-SOUTH": south,
        "G-CREEK": np.where(creek < 0.025 * creek.mean(), 0.0, creek),
    }
    kept = np.asarray(days >= pd.Timestamp(FIRST_DAY))
    return Climate(
        days=days[kept],
        flow_of_mean={gauge: (flow / flow[kept].mean())[kept] for gauge, flow in flows.items()},
        water_temp_c=_water_temperatures(rng, days, kept),
    )


def day_of_year(days: pd.DatetimeIndex) -> Floats:
    return np.asarray(days.day_of_year, dtype=float)


def season_year(days: pd.DatetimeIndex) -> Floats:
    return np.asarray(days.year - (days.month < 7), dtype=float)


def _wetness(days: pd.DatetimeIndex) -> Floats:
    """Between years it changes over the summer, not on one day."""
    starts = pd.to_datetime([f"{year}-07-01" for year in WETNESS])
    at = np.asarray((days - starts[0]).days, dtype=float)
    knots = np.asarray((starts - starts[0]).days, dtype=float)
    return np.asarray(np.interp(at - 60.0, knots, np.array(list(WETNESS.values()))))


def _rain_mm(rng: np.random.Generator, days: pd.DatetimeIndex, wetness: Floats) -> Floats:
    """Mostly winter and spring; wet days come in runs; a storm now and then in summer."""
    season = np.cos(2 * np.pi * (day_of_year(days) - 215.0) / 365.25)
    chance = (0.19 + 0.07 * season) * wetness**0.25
    draws, amounts = rng.random(len(days)), rng.gamma(0.75, 1.0, len(days))
    rain, wet = np.zeros(len(days)), False
    for day in range(len(days)):
        wet = bool(draws[day] < (0.5 if wet else chance[day] * 0.8))
        rain[day] = amounts[day] * 9.5 * wetness[day] ** 0.4 if wet else 0.0
    return rain


def _runoff(rain_mm: Floats, days: pd.DatetimeIndex, slow_keep: float, soil_mm: float) -> Floats:
    """Soil that sheds more the wetter it is, a quick store and a slow one."""
    thirst = 2.6 + 2.3 * np.cos(2 * np.pi * (day_of_year(days) - 10.0) / 365.25)
    soil, quick, slow, deep = 0.5 * soil_mm, 0.0, 0.0, 40.0
    flow = np.zeros(len(days))
    for day, rain in enumerate(rain_mm.tolist()):
        shed = rain * (0.035 + 0.965 * (soil / soil_mm) ** 2.2)
        soil = max(soil + rain - shed - thirst[day] * soil / soil_mm, 0.0)
        over = max(soil - soil_mm, 0.0)
        soil -= over
        quick = 0.72 * quick + 0.5 * (shed + over)
        slow = slow_keep * slow + 0.34 * (shed + over)
        deep = 0.9968 * deep + 0.16 * (shed + over)
        flow[day] = 0.28 * quick + (1.0 - slow_keep) * slow + 0.0032 * deep + 0.01
    return flow


def _regulated(rng: np.random.Generator, natural: Floats, days: pd.DatetimeIndex) -> Floats:
    """The dam holds most of the hills' water and lets it go when crops are thirsty.

    Orders for water come and go from day to day, and water is let go for fish in late spring.
    """
    held_share, full, store = 0.5, 95.0, 45.0
    allocation = np.array([ALLOCATION.get(int(year), 1.0) for year in season_year(days)])
    thirsty = np.clip(np.cos(2 * np.pi * (day_of_year(days) - 12.0) / 365.25) + 0.42, 0.0, None)
    orders = 1.0 + 0.11 * _spells(rng, len(days), 0.8)
    for_fish = _pulses(rng, days) * allocation
    flow = np.zeros(len(natural))
    for day, inflow in enumerate(natural.tolist()):
        store += held_share * inflow
        wanted = 0.07 + 0.55 * thirsty[day] * allocation[day] * orders[day] + for_fish[day]
        release = min(wanted, 0.02 * store)
        spill = max(store - release - full, 0.0) * 0.3
        store -= release + spill
        flow[day] = (1.0 - held_share) * inflow + release + spill + 0.05
    return flow


def _pulses(rng: np.random.Generator, days: pd.DatetimeIndex) -> Floats:
    pulses = np.zeros(len(days))
    for year in range(days[0].year, days[-1].year + 1):
        for earliest, latest in (("10-20", "11-10"), ("11-25", "12-20"), ("01-05", "01-28")):
            first = int(days.searchsorted(pd.Timestamp(f"{year}-{earliest}")))
            span = (pd.Timestamp(f"{year}-{latest}") - pd.Timestamp(f"{year}-{earliest}")).days
            start = first + int(rng.integers(0, span))
            shape = np.array([0.4, 0.9, 1.0, 0.8, 0.6, 0.4, 0.25, 0.15, 0.08])
            piece = pulses[start : start + len(shape)]
            piece += rng.uniform(0.25, 0.6) * shape[: len(piece)]
    return pulses


def _water_temperatures(
    rng: np.random.Generator, days: pd.DatetimeIndex, kept: Bools
) -> dict[str, Floats]:
    """A yearly wave and spells of some days; released water is cooler and later."""
    shapes = {
        "G-EAST": (13.2, 7.0, 22.0, 0.8),
        "G-LANTERN": (15.8, 7.6, 33.0, 0.7),
        "G-SOUTH": (15.6, 8.0, 24.0, 0.9),
        "G-CREEK": (17.0, 8.6, 18.0, 1.1),
    }
    shared = _spells(rng, len(days))
    warm_years = _spells(rng, len(days), 0.995)
    temperatures = {}
    for gauge, (mean, half_range, peak_day, spread) in shapes.items():
        wave = np.cos(2 * np.pi * (day_of_year(days) - peak_day) / 365.25)
        spell = spread * (1.2 * shared + 0.5 * _spells(rng, len(days))) + 0.6 * warm_years
        temperatures[gauge] = np.clip(mean + half_range * wave + spell, 3.0, 31.0)[kept]
    return temperatures


def _spells(rng: np.random.Generator, days: int, keep: float = 0.86) -> Floats:
    noise = rng.standard_normal(days)
    values = np.zeros(days)
    for day in range(1, days):
        values[day] = keep * values[day - 1] + np.sqrt(1 - keep**2) * noise[day]
    return values
