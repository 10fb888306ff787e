"""A catchment as understood: every table of the data contract with its defaults filled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

Point = tuple[float, float]  # longitude, latitude in degrees


@dataclass(frozen=True)
class Reach:
    reach_id: str
    to_reach: str  # empty at an outlet
    length_m: float | None
    gauge_id: str
    flow_scale: float | None
    area_km2: float | None
    velocity_coef: float | None
    velocity_exp: float
    width_m: float | None
    slope: float | None
    manning_n: float
    depth_m: float | None
    nursery: float
    line: list[Point]


@dataclass(frozen=True)
class Split:
    from_reach: str
    to_reach: str
    share: float


@dataclass(frozen=True)
class Weir:
    reach_id: str
    guild_id: str  # empty: all guilds
    survival: float


@dataclass(frozen=True)
class Guild:
    guild_id: str
    weight: float
    window: tuple[str, str, str, str]  # MM-DD
    temperatures_c: tuple[float | None, float | None, float | None, float | None]
    flow_trigger: float
    trigger_days: int
    flow_floor: float
    full_season_days: float
    drift_days: float
    drift_stages: int
    mortality_per_day: float
    drift_speed_ratio: float
    encounter: float
    night_drift_share: float | None
    outlet_value: float
    adult_per_settler: float
    resident_per_ml: float
    adult_per_resident: float


@dataclass(frozen=True)
class Production:
    drifters: float
    nursery: float | None


@dataclass(frozen=True)
class Offtake:
    offtake_id: str
    point: Point
    reach_id: str  # empty: to be snapped
    chainage_m: float | None
    kind: str
    capacity_m3s: float
    use_by_month: list[float | None]  # January first
    cease_flow_m3s: float
    night_use_share: float | None
    position: float
    intake_depth_m: float | None
    fitted: str
    power: str
    access: str
    willing: str
    status: str
    quote: float | None
    quote_option: str
    row: dict[str, Any]


@dataclass(frozen=True)
class Option:
    option_id: str
    approach_velocity_ms: float
    opening_mm: float
    cleaning: str
    needs_power: bool
    min_depth_m: float
    unit_area_m2: float
    unit_price: float
    upkeep_share_year: float
    life_years: float
    kinds: list[str]  # empty: all


@dataclass(frozen=True)
class Efficacy:
    drifter: float
    resident: float


@dataclass(frozen=True)
class Criteria:
    approach_velocity_ms: float | None
    approach_velocity_passive_ms: float | None
    max_opening_mm: float | None
    least_life_years: float


@dataclass(frozen=True)
class FurtherCriterion:
    column: str
    weight: float
    worst: float
    best: float


@dataclass(frozen=True)
class Settings:
    name: str
    season_start_month: int | None
    max_gap_days: int
    area_exponent: float
    metered_missing: str
    discount_rate: float
    horizon_years: float
    landholder_share: float
    year_weights: dict[int, float]
    allocation: dict[int, float]
    criteria: Criteria
    weights: tuple[float, float, float]  # risk, overlap, cost
    further_criteria: list[FurtherCriterion]


@dataclass(frozen=True)
class Catchment:
    settings: Settings
    reaches: dict[str, Reach]
    splits: list[Split]
    weirs: list[Weir]
    gauge_area_km2: dict[str, float | None]
    flow_m3s: dict[str, dict[date, float]]  # by gauge, recorded days only
    water_temp_c: dict[str, dict[date, float]]
    guilds: dict[str, Guild]
    production: dict[tuple[str, str], Production]  # by reach and guild
    offtakes: dict[str, Offtake]
    metered_m3s: dict[str, dict[date, float]]
    options: dict[str, Option]
    efficacy: dict[tuple[str, str], Efficacy]  # by option and guild
    prices: dict[tuple[str, str], float]  # by item and kind
