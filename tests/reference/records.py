"""Gauge records with their gaps filled, and the flow and speed of each reach: the model page,
section 2.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from datetime import date, timedelta

from .tables import Catchment, Reach

DAY = timedelta(days=1)
SECONDS_PER_DAY = 86400.0


@dataclass(frozen=True)
class GaugeRecord:
    recorded_m3s: dict[date, float]
    flow_m3s: dict[date, float]  # recorded, and gaps of at most max_gap_days filled
    recorded_c: dict[date, float]
    water_temp_c: dict[date, float]  # recorded, and gaps of at most max_gap_days filled


def gauge_records(catchment: Catchment) -> dict[str, GaugeRecord]:
    """The model page, section 2: the records of the gauges that a reach uses."""
    longest_days = catchment.settings.max_gap_days
    records: dict[str, GaugeRecord] = {}
    for reach in catchment.reaches.values():
        flow = catchment.flow_m3s.get(reach.gauge_id, {})
        warmth = catchment.water_temp_c.get(reach.gauge_id, {})
        records[reach.gauge_id] = GaugeRecord(
            flow, fill_short_gaps(flow, longest_days), warmth, fill_short_gaps(warmth, longest_days)
        )
    return records


def fill_short_gaps(recorded: dict[date, float], longest_days: int) -> dict[date, float]:
    """The model page, section 2: gaps of at most `max_gap_days` are filled linearly, longer ones
    stay open.
    """
    filled = dict(recorded)
    days = sorted(recorded)
    for earlier, later in itertools.pairwise(days):
        missing_days = (later - earlier).days - 1
        if 0 < missing_days <= longest_days:
            for step in range(1, missing_days + 1):
                part = step / (missing_days + 1)
                value = recorded[earlier] + part * (recorded[later] - recorded[earlier])
                filled[earlier + step * DAY] = value
    return filled


def temperature_on(day: date, record: GaugeRecord) -> float | None:
    """The model page, section 2: that day's water temperature, else the mean of the day in other
    calendar years.
    """
    if day in record.water_temp_c:
        return record.water_temp_c[day]
    month, of_month = day.month, day.day
    if (month, of_month) == (2, 29):
        of_month = 28
    others = []
    for year in (
        range(min(record.recorded_c).year, max(record.recorded_c).year + 1)
        if record.recorded_c
        else []
    ):
        same_day = date(year, month, of_month)
        if year != day.year and same_day in record.recorded_c:
            others.append(record.recorded_c[same_day])
    return sum(others) / len(others) if others else None


def flow_scale_of(reach: Reach, catchment: Catchment) -> float:
    """The model page, section 2: the reach's own scale, else the ratio of areas to the exponent."""
    if reach.flow_scale is not None:
        return reach.flow_scale
    gauge_area_km2 = catchment.gauge_area_km2[reach.gauge_id]
    assert reach.area_km2 is not None
    assert gauge_area_km2 is not None
    return float((reach.area_km2 / gauge_area_km2) ** catchment.settings.area_exponent)


def velocity_coef_of(reach: Reach, flow_scale: float, record: GaugeRecord) -> float:
    """The model page, section 2: the reach's own coefficient, else Manning's
    for a wide rectangle.
    """
    if reach.velocity_coef is not None:
        return reach.velocity_coef
    assert reach.width_m is not None
    assert reach.slope is not None
    q_m3s = flow_scale * median([flow for flow in record.recorded_m3s.values() if flow > 0])
    h_m = (q_m3s * reach.manning_n / (reach.width_m * reach.slope**0.5)) ** (3 / 5)
    v_ms = q_m3s / (reach.width_m * h_m)
    return float(v_ms / q_m3s**reach.velocity_exp)


def median(values: list[float]) -> float:
    """The model page, section 2: the middle value, the mean of the middle two if their number is
    even.
    """
    ranked = sorted(values)
    middle = len(ranked) // 2
    if len(ranked) % 2:
        return ranked[middle]
    return (ranked[middle - 1] + ranked[middle]) / 2


def travel_days(length_m: float, speed_ms: float, drift_speed_ratio: float) -> float:
    """The model page, section 2: travel time over a length."""
    return length_m / (SECONDS_PER_DAY * speed_ms * drift_speed_ratio)
