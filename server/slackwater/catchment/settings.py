"""The settings as understood: defaults filled, tables by year and range typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class ScreenCriteria:
    """Limits a screen is held to; an absent limit (None) does not bind."""

    name: str = ""
    approach_velocity_ms: float | None = None
    approach_velocity_passive_ms: float | None = None
    max_opening_mm: float | None = None
    least_life_years: float = 10.0


@dataclass(frozen=True)
class Criterion:
    """A further numeric column of the offtakes that counts in the score."""

    column: str
    weight: float
    worst: float
    best: float


@dataclass(frozen=True)
class Settings:
    """What holds for the whole catchment.

    ``season_start_month`` is already decided (July where the offtakes' mean latitude is below 0).
    ``weights`` are as given, not yet divided by their sum; ``name`` is never empty.
    """

    name: str
    season_start_month: int
    name_given: bool = False
    crs: str = ""
    currency: str = ""
    time_zone: str = ""
    max_gap_days: int = 10
    area_exponent: float = 1.0
    metered_missing: str = "use"
    production_basis: str = "index"
    discount_rate: float = 0.07
    horizon_years: float = 20.0
    landholder_share: float = 0.0
    snap_limit_m: float = 250.0
    screen_criteria: ScreenCriteria = field(default_factory=ScreenCriteria)
    weights: tuple[float, float, float] = (0.6, 0.1, 0.3)
    criteria: tuple[Criterion, ...] = ()
    year_weights: Mapping[int, float] = field(default_factory=dict)
    allocation: Mapping[int, float] = field(default_factory=dict)
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=dict)
