"""Reads a folder in the form of the data contract and fills the defaults of empty cells."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from .rows import Row, line_of, needed, number, number_or, point_of, read_rows, read_settings, text
from .tables import (
    Catchment,
    Criteria,
    Efficacy,
    FurtherCriterion,
    Guild,
    Offtake,
    Option,
    Production,
    Reach,
    Settings,
    Split,
    Weir,
)


def read_catchment(folder: Path) -> Catchment:
    """The data contract whole: the tables and the settings of one folder."""
    raw = read_settings(folder)

    def rows(table: str) -> list[Row]:
        return read_rows(folder, table, raw)

    flow_m3s: dict[str, dict[date, float]] = {}
    water_temp_c: dict[str, dict[date, float]] = {}
    for row in rows("daily"):
        gauge_id, day = text(row, "gauge_id"), date.fromisoformat(text(row, "date"))
        flow, warmth = number(row, "flow_m3s"), number(row, "water_temp_c")
        if flow is not None:
            flow_m3s.setdefault(gauge_id, {})[day] = flow
        if warmth is not None:
            water_temp_c.setdefault(gauge_id, {})[day] = warmth
    metered_m3s: dict[str, dict[date, float]] = {}
    for row in rows("metered"):
        draws = metered_m3s.setdefault(text(row, "offtake_id"), {})
        draws[date.fromisoformat(text(row, "date"))] = needed(row, "draw_m3s")
    return Catchment(
        settings=settings_of(raw, folder.name),
        reaches={text(r, "reach_id"): reach_of(r) for r in rows("reaches")},
        splits=[
            Split(text(r, "from_reach"), text(r, "to_reach"), needed(r, "share"))
            for r in rows("splits")
        ],
        weirs=[
            Weir(text(r, "reach_id"), text(r, "guild_id"), needed(r, "survival"))
            for r in rows("weirs")
        ],
        gauge_area_km2={text(r, "gauge_id"): number(r, "area_km2") for r in rows("gauges")},
        flow_m3s=flow_m3s,
        water_temp_c=water_temp_c,
        guilds={text(r, "guild_id"): guild_of(r) for r in rows("guilds")},
        production={
            (text(r, "reach_id"), text(r, "guild_id")): Production(
                needed(r, "production"), number(r, "nursery")
            )
            for r in rows("production")
        },
        offtakes={text(r, "offtake_id"): offtake_of(r, raw) for r in rows("offtakes")},
        metered_m3s=metered_m3s,
        options={text(r, "option_id"): option_of(r) for r in rows("options")},
        efficacy={
            (text(r, "option_id"), text(r, "guild_id")): efficacy_of(r) for r in rows("efficacy")
        },
        prices={(text(r, "item"), text(r, "kind")): needed(r, "amount") for r in rows("prices")},
    )


def settings_of(raw: dict[str, Any], folder_name: str) -> Settings:
    """The data contract, settings: defaults for absent keys and tables."""
    screens = raw.get("screen_criteria", {})
    approach_ms = screens.get("approach_velocity_ms")
    weights = raw.get("weights", {"risk": 0.6, "overlap": 0.1, "cost": 0.3})
    return Settings(
        name=raw.get("name", folder_name),
        season_start_month=raw.get("season_start_month"),
        max_gap_days=raw.get("max_gap_days", 10),
        area_exponent=raw.get("area_exponent", 1.0),
        metered_missing=raw.get("metered_missing", "use"),
        discount_rate=raw.get("discount_rate", 0.07),
        horizon_years=raw.get("horizon_years", 20),
        landholder_share=raw.get("landholder_share", 0.0),
        year_weights={int(year): float(w) for year, w in raw.get("year_weights", {}).items()},
        allocation={int(year): float(share) for year, share in raw.get("allocation", {}).items()},
        criteria=Criteria(
            approach_velocity_ms=approach_ms,
            approach_velocity_passive_ms=screens.get("approach_velocity_passive_ms", approach_ms),
            max_opening_mm=screens.get("max_opening_mm"),
            least_life_years=screens.get("least_life_years", 10),
        ),
        weights=(weights.get("risk", 0), weights.get("overlap", 0), weights.get("cost", 0)),
        further_criteria=[
            FurtherCriterion(c["column"], c["weight"], c["worst"], c["best"])
            for c in raw.get("criterion", [])
        ],
    )


def reach_of(row: Row) -> Reach:
    """The data contract, `reaches`."""
    return Reach(
        reach_id=text(row, "reach_id"),
        to_reach=text(row, "to_reach"),
        length_m=number(row, "length_m"),
        gauge_id=text(row, "gauge_id"),
        flow_scale=number(row, "flow_scale"),
        area_km2=number(row, "area_km2"),
        velocity_coef=number(row, "velocity_coef"),
        velocity_exp=number_or(row, "velocity_exp", 0.34),
        width_m=number(row, "width_m"),
        slope=number(row, "slope"),
        manning_n=number_or(row, "manning_n", 0.035),
        depth_m=number(row, "depth_m"),
        nursery=number_or(row, "nursery", 1.0),
        line=line_of(row),
    )


def guild_of(row: Row) -> Guild:
    """The data contract, `guilds`."""
    return Guild(
        guild_id=text(row, "guild_id"),
        weight=number_or(row, "weight", 1.0),
        window=(
            text(row, "window_start"),
            text(row, "window_full"),
            text(row, "window_easing"),
            text(row, "window_end"),
        ),
        temperatures_c=(
            number(row, "temp_min"),
            number(row, "temp_full"),
            number(row, "temp_easing"),
            number(row, "temp_max"),
        ),
        flow_trigger=number_or(row, "flow_trigger", 0.0),
        trigger_days=int(number_or(row, "trigger_days", 0)),
        flow_floor=number_or(row, "flow_floor", 0.0),
        full_season_days=needed(row, "full_season_days"),
        drift_days=needed(row, "drift_days"),
        drift_stages=int(number_or(row, "drift_stages", 1)),
        mortality_per_day=needed(row, "mortality_per_day"),
        drift_speed_ratio=number_or(row, "drift_speed_ratio", 1.0),
        encounter=number_or(row, "encounter", 1.0),
        night_drift_share=number(row, "night_drift_share"),
        outlet_value=needed(row, "outlet_value"),
        adult_per_settler=needed(row, "adult_per_settler"),
        resident_per_ml=number_or(row, "resident_per_ml", 0.0),
        adult_per_resident=number_or(row, "adult_per_resident", 0.0),
    )


def offtake_of(row: Row, raw: dict[str, Any]) -> Offtake:
    """The data contract, `offtakes`."""
    return Offtake(
        offtake_id=text(row, "offtake_id"),
        point=point_of(row, raw),
        reach_id=text(row, "reach_id"),
        chainage_m=number(row, "chainage_m"),
        kind=text(row, "kind"),
        capacity_m3s=needed(row, "capacity_m3s"),
        use_by_month=[number(row, f"use_{month:02d}") for month in range(1, 13)],
        cease_flow_m3s=number_or(row, "cease_flow_m3s", 0.0),
        night_use_share=number(row, "night_use_share"),
        position=number_or(row, "position", 1.0),
        intake_depth_m=number(row, "intake_depth_m"),
        fitted=text(row, "fitted", "none"),
        power=text(row, "power", "no"),
        access=text(row, "access", "fair"),
        willing=text(row, "willing", "unknown"),
        status=text(row, "status", "candidate"),
        quote=number(row, "quote"),
        quote_option=text(row, "quote_option"),
        row=row,
    )


def option_of(row: Row) -> Option:
    """The data contract, `options`."""
    return Option(
        option_id=text(row, "option_id"),
        approach_velocity_ms=needed(row, "approach_velocity_ms"),
        opening_mm=needed(row, "opening_mm"),
        cleaning=text(row, "cleaning", "none"),
        needs_power=text(row, "needs_power", "no") == "yes",
        min_depth_m=number_or(row, "min_depth_m", 0.0),
        unit_area_m2=needed(row, "unit_area_m2"),
        unit_price=needed(row, "unit_price"),
        upkeep_share_year=number_or(row, "upkeep_share_year", 0.02),
        life_years=number_or(row, "life_years", 20.0),
        kinds=[kind.strip() for kind in text(row, "kinds").split(";") if kind.strip()],
    )


def efficacy_of(row: Row) -> Efficacy:
    """The data contract, `efficacy`: `resident` is `drifter` where empty."""
    drifter = needed(row, "drifter")
    return Efficacy(drifter, number_or(row, "resident", drifter))
