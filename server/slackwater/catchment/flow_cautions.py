"""What is odd about flow, its record, and draws held against it?"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.draft import Draft
from slackwater.errors import Finding

AREA_RATIO = (0.5, 1.5)
"""Within this the area ratio is held to serve. Source: USGS SIR 2008-5126."""

SHARE_OF_MEAN_FLOW = 0.05
"""Source: US 40 CFR 125.84(b)(3)(i), a cooling-water rule, borrowed as a flag."""

ROUNDING = 1e-9
DAY_S = 86_400.0


def gauge_index(drafts: Mapping[str, Draft]) -> NDArray[np.int64]:
    """(reaches,) position of each reach's gauge."""
    return drafts["reaches"].links["gauge_id"]


def median_flow_m3s(catchment: Catchment, drafts: Mapping[str, Draft]) -> NDArray[np.float64]:
    """(reaches,) median flow over the gauge's recorded days above 0; NaN where there is none."""
    of_gauge = catchment.records.median_flow_m3s()
    return catchment.flow_scale * of_gauge[gauge_index(drafts)]


def warn_of_gaps(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn once a gauge that a reach uses of days that the record does not hold."""
    records, gauges, daily = catchment.records, drafts["gauges"], drafts["daily"]
    counts = (
        ("gap_filled", "flow_m3s", records.flow_filled_days, "days filled linearly"),
        (
            "temperature_filled",
            "water_temp_c",
            records.temperature_filled_days,
            "days of temperature filled linearly",
        ),
        (
            "temperature_borrowed",
            "water_temp_c",
            records.temperature_borrowed_days,
            "days of temperature taken from the mean of other years",
        ),
        (
            "temperature_missing",
            "water_temp_c",
            records.temperature_missing_days,
            "days have no temperature, here or in other years: warmth is 1",
        ),
    )
    for gauge in np.unique(gauge_index(drafts)):
        gauge_id = str(gauges.text("gauge_id")[gauge])
        for code, column, days, told in counts:
            if not records.has_temperature[gauge] and column == "water_temp_c":
                continue
            if days[gauge]:
                daily.findings.warn(
                    Finding(
                        "daily",
                        None,
                        gauge_id,
                        column,
                        str(days[gauge]),
                        code,
                        f"{days[gauge]:,} {told}",
                    )
                )
        if not records.has_temperature[gauge]:
            daily.findings.warn(
                Finding(
                    "daily",
                    None,
                    gauge_id,
                    "water_temp_c",
                    "",
                    "no_temperature",
                    "no temperature recorded: warmth is 1",
                )
            )


def warn_of_area_ratios(drafts: Mapping[str, Draft]) -> None:
    """Warn where flow follows from areas that differ too much."""
    reaches, gauges = drafts["reaches"], drafts["gauges"]
    ratio = reaches.number("area_km2") / gauges.number("area_km2")[gauge_index(drafts)]
    by_area = np.isnan(reaches.number("flow_scale"))
    for reach in np.flatnonzero(by_area & ((ratio < AREA_RATIO[0]) | (ratio > AREA_RATIO[1]))):
        reaches.warn(
            int(reach),
            "area_km2",
            "area_ratio",
            f"{ratio[reach]:.3g} of its gauge's area; the method is held to serve from "
            f"{AREA_RATIO[0]} to {AREA_RATIO[1]}: better give flow_scale",
        )


def warn_of_long_reaches(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn where the slowest guild takes more than a day to pass at median flow."""
    reaches, guilds = drafts["reaches"], drafts["guilds"]
    if not len(guilds):
        return
    slowest = float(guilds.number("drift_speed_ratio").min())
    flow_m3s = median_flow_m3s(catchment, drafts)
    with np.errstate(all="ignore"):  # absurd exponents give no number, hence no warning
        velocity_ms = catchment.velocity_coef * flow_m3s ** reaches.number("velocity_exp")
        days = catchment.length_m / (DAY_S * velocity_ms * slowest)
    for reach in np.flatnonzero(days > 1 + ROUNDING):
        reaches.warn(
            int(reach),
            "length_m",
            "long_reach",
            f"{days[reach]:.2f} days' drift at median flow; cut it, so that a day is not "
            "passed within one reach",
        )


def warn_of_capacities(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn of offtakes that could take much of their river."""
    offtakes = drafts["offtakes"]
    reach = catchment.reach_index
    median_m3s = median_flow_m3s(catchment, drafts)[reach]
    mean_of_gauge = catchment.records.mean_flow_m3s()
    mean_m3s = (catchment.flow_scale * mean_of_gauge[gauge_index(drafts)])[reach]
    for position, capacity_m3s in enumerate(offtakes.number("capacity_m3s").tolist()):
        if capacity_m3s > median_m3s[position] * (1 + ROUNDING):
            offtakes.warn(
                position,
                "capacity_m3s",
                "capacity_above_median_flow",
                f"more than the reach's median flow, {median_m3s[position]:.3g} m3/s: "
                "check unit and reach",
            )
        elif capacity_m3s > SHARE_OF_MEAN_FLOW * mean_m3s[position] * (1 + ROUNDING):
            offtakes.warn(
                position,
                "capacity_m3s",
                "capacity_above_mean_share",
                f"more than 5 % of the reach's mean annual flow, {mean_m3s[position]:.3g} "
                "m3/s: check unit and reach",
            )


def warn_of_metered_draw(drafts: Mapping[str, Draft]) -> None:
    """Warn once an offtake whose meter shows more than its capacity."""
    offtakes, metered = drafts["offtakes"], drafts["metered"]
    offtake = metered.links["offtake_id"]
    capacity_m3s = offtakes.number("capacity_m3s")
    above = metered.number("draw_m3s") > capacity_m3s[offtake] * (1 + ROUNDING)
    for position in np.unique(offtake[above]):
        days = np.flatnonzero(above & (offtake == position))
        metered.warn(
            int(days[0]),
            "draw_m3s",
            "draw_above_capacity",
            f"{len(days):,} days above the capacity of "
            f"{offtakes.text('offtake_id')[position]}, {capacity_m3s[position]:g} m3/s",
        )
