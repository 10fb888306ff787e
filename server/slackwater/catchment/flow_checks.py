"""Is there a way to each reach's flow and velocity, and a complete season-year?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.channel import flow_scales, velocity_coefs
from slackwater.catchment.draft import Draft, Mask
from slackwater.catchment.records import Records, make_records
from slackwater.catchment.river_checks import SHARE_TOLERANCE

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Flow:
    """What is known of flow: records (None where they cannot be judged) and (reaches,) numbers."""

    records: Records | None
    flow_scale: Numbers
    velocity_coef: Numbers


def check_flow(
    drafts: Mapping[str, Draft],
    *,
    season_start_month: int,
    max_gap_days: int,
    area_exponent: float,
    years_known: bool,
) -> Flow:
    """Derive flow and velocity of every reach, reporting where there is no way to them.

    Parameters
    ----------
    season_start_month : 1..12.
    years_known : false where a setting that decides on season-years is at fault.
    """
    records = _records(drafts, season_start_month, max_gap_days)
    if records is not None and years_known:
        _check_years(drafts, records)
    flow_scale, scale_known = _check_flow_scale(drafts, area_exponent)
    velocity_coef = _check_velocity(drafts, records, flow_scale, scale_known)
    return Flow(records, flow_scale, velocity_coef)


def _records(
    drafts: Mapping[str, Draft], season_start_month: int, max_gap_days: int
) -> Records | None:
    """Give the gauges' records, None where a fault in the rows would show in them."""
    daily, reaches, gauges = drafts["daily"], drafts["reaches"], drafts["gauges"]
    used = np.zeros(len(gauges), bool)
    links = reaches.links["gauge_id"]
    used[links[links >= 0]] = True
    rows_known = daily.all_sound("gauge_id", "date", "flow_m3s")
    if not rows_known or not used.any() or not gauges.all_sound("gauge_id"):
        return None
    if not len(daily):
        daily.fault_whole("no_complete_year", "give a year or more of daily flow", "flow_m3s")
        return None
    return make_records(
        daily.links["gauge_id"],
        daily.date("date"),
        daily.number("flow_m3s"),
        daily.number("water_temp_c"),
        used_gauges=used,
        season_start_month=season_start_month,
        max_gap_days=max_gap_days,
    )


def _check_years(drafts: Mapping[str, Draft], records: Records) -> None:
    if len(records.years):
        return
    gauges = drafts["gauges"]
    links = drafts["reaches"].links["gauge_id"]
    used = sorted(set(links[links >= 0].tolist()))
    bare = [str(gauges.text("gauge_id")[i]) for i in used if not records.flow_recorded[i].any()]
    told = "every gauge that a reach uses needs flow over the same whole season-year"
    if bare:
        told += "; no flow at " + ", ".join(bare)
    drafts["daily"].fault_whole("no_complete_year", told, "flow_m3s")


def _gauge_numbers(drafts: Mapping[str, Draft]) -> tuple[Numbers, Mask]:
    """(reaches,) area of each reach's gauge, and whether it can be relied on."""
    reaches, gauges = drafts["reaches"], drafts["gauges"]
    links = reaches.links["gauge_id"]
    known = (links >= 0) & reaches.sound("gauge_id")
    area_km2 = np.full(len(reaches), np.nan)
    area_km2[known] = gauges.number("area_km2")[links[known]]
    known[known] &= gauges.sound("area_km2", "gauge_id")[links[known]]
    return area_km2, known


def _check_flow_scale(drafts: Mapping[str, Draft], area_exponent: float) -> tuple[Numbers, Mask]:
    """Give (reaches,) flow scale, and where it can be relied on."""
    reaches = drafts["reaches"]
    given = reaches.number("flow_scale")
    gauge_area_km2, gauge_known = _gauge_numbers(drafts)
    area_km2 = reaches.number("area_km2")
    with np.errstate(over="ignore", under="ignore"):
        flow_scale = _usable(flow_scales(given, area_km2, gauge_area_km2, area_exponent))
    judged = reaches.sound("flow_scale", "area_km2") & (gauge_known | np.isnan(area_km2))
    arm = _fed_by_part(drafts["splits"], len(reaches))
    bare = judged & np.isnan(given) & (arm | np.isnan(area_km2))
    for reach in np.flatnonzero(bare):
        told = "give flow_scale, or area_km2 here and at its gauge"
        if arm[reach]:
            told = "give flow_scale: it is fed by a share below 1, areas do not tell its flow"
        reaches.fault(int(reach), "flow_scale", "no_flow_scale", told)
    lacking = judged & ~bare & np.isnan(flow_scale)
    _report_at_gauge(
        drafts, lacking, "area_km2", "flow_scale", "no_flow_scale", "its gauge has no area_km2"
    )
    return flow_scale, reaches.sound("flow_scale", "area_km2") & ~np.isnan(flow_scale)


def _report_at_gauge(
    drafts: Mapping[str, Draft], lacking: Mask, at_gauge: str, at_reach: str, code: str, why: str
) -> None:
    """Report what reaches lack through their gauge: at the reach, or once where it is several."""
    reaches, gauges = drafts["reaches"], drafts["gauges"]
    for gauge in np.unique(reaches.links["gauge_id"][lacking]):
        touched = np.flatnonzero(lacking & (reaches.links["gauge_id"] == gauge))
        if len(touched) == 1:
            told = f"give {at_reach}: {why}"
            reaches.fault(int(touched[0]), at_reach, code, told)
            continue
        names = ", ".join(reaches.text("reach_id")[touched])
        gauges.fault(
            int(gauge),
            at_gauge,
            code,
            f"{why.replace('its gauge', 'this gauge')}; mend it, or give {at_reach} at {names}",
        )


def _usable(derived: Numbers) -> Numbers:
    """Give NaN in place of what is no finite number above 0: absurd inputs show no way."""
    return np.where(np.isfinite(derived) & (derived > 0), derived, np.nan)


def _fed_by_part(splits: Draft, n_reaches: int) -> Mask:
    """(reaches,) true where an arm with a share below 1 leads to the reach."""
    fed = np.zeros(n_reaches, bool)
    arms = splits.sound("share", "from_reach", "to_reach") & (splits.links["to_reach"] >= 0)
    arms &= splits.number("share") < 1 - SHARE_TOLERANCE
    fed[splits.links["to_reach"][arms]] = True
    return fed


def _check_velocity(
    drafts: Mapping[str, Draft], records: Records | None, flow_scale: Numbers, scale_known: Mask
) -> Numbers:
    """Give (reaches,) velocity coefficient, reporting where there is no way to it."""
    reaches = drafts["reaches"]
    median_m3s = np.full(len(reaches), np.nan)
    recorded = np.zeros(len(reaches), bool)
    if records is not None:
        any_day = records.flow_recorded.sum(axis=1) > 0
        links = reaches.links["gauge_id"]
        known = links >= 0
        median_m3s[known] = records.median_flow_m3s()[links[known]]
        recorded[known] = any_day[links[known]]
    given, width_m, slope, manning_n, exponent = (
        reaches.number(name)
        for name in ("velocity_coef", "width_m", "slope", "manning_n", "velocity_exp")
    )
    with np.errstate(over="ignore", under="ignore", invalid="ignore", divide="ignore"):
        velocity_coef = _usable(
            velocity_coefs(given, exponent, width_m, slope, manning_n, flow_scale * median_m3s)
        )
    judged: Mask = reaches.sound("velocity_coef", "width_m", "slope", "manning_n", "velocity_exp")
    shaped = ~np.isnan(width_m) & ~np.isnan(slope)
    # without a width or slope there is no way whatever the flow; with both it hangs on the flow
    judged &= ~shaped | (scale_known & recorded)
    lacking = judged & np.isnan(velocity_coef)
    for reach in np.flatnonzero(lacking & ~shaped):
        reaches.fault(
            int(reach), "velocity_coef", "no_velocity", "give velocity_coef, or width_m and slope"
        )
    _report_at_gauge(
        drafts,
        lacking & shaped,
        "gauge_id",
        "velocity_coef",
        "no_velocity",
        "its gauge has no recorded day above 0, which Manning needs",
    )
    return velocity_coef
