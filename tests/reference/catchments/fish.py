"""Invents guilds and what the reaches produce."""

from __future__ import annotations

from datetime import timedelta

from .draft import Draft, Row


def invent_guilds(draft: Draft) -> None:
    """One to three guilds whose short spawning windows lie around the same day."""
    draft.tables["guilds"] = [
        new_guild(draft, name) for name in draft.names("f", draft.rng.choice([1, 2, 2, 3]))
    ]


def new_guild(draft: Draft, name: str) -> Row:
    """A guild; its temperature corners lie near the temperatures of its window."""
    rng = draft.rng
    guild: Row = {
        "guild_id": name,
        "name": f"Guild {name}",
        **window(draft),
        "full_season_days": draft.between(3, 25, 1),
        "drift_days": draft.between(0.8, 6, 2),
        "mortality_per_day": rng.choice([0, draft.between(0.02, 0.4)]),
        "outlet_value": rng.choice([0, 1, draft.between(0, 1, 2)]),
        "adult_per_settler": draft.spread(0.0001, 0.01),
    }
    if "stages" in draft.aims and draft.chance(70):
        guild["drift_stages"] = rng.randint(2, 5)
    if draft.chance(40):
        guild["weight"] = draft.between(0.2, 3, 1)
    if draft.chance(40):
        guild["drift_speed_ratio"] = draft.between(0.5, 1.2, 2)
    if draft.chance(50):
        guild["encounter"] = draft.between(0.3, 2.5, 2)
    if "night" in draft.aims:
        guild["night_drift_share"] = draft.between(0.1, 0.95, 2)
    if "residents" in draft.aims and draft.chance(70):
        guild["resident_per_ml"], guild["adult_per_resident"] = (
            draft.spread(0.0001, 0.02),
            draft.between(0.01, 0.4),
        )
    if "trigger" in draft.aims and draft.chance(70):
        guild["flow_trigger"] = draft.between(0.9, 1.5, 2)
        guild["trigger_days"], guild["flow_floor"] = (
            rng.choice([None, 1, 2, 4]),
            rng.choice([None, 0.1, 0.3]),
        )
    if "temperature" in draft.aims:
        usual = draft.usual_temperature_c(draft.centre(draft.years[0]))
        guild["temp_min"], guild["temp_full"] = corner_pair(draft, round(usual - 2), round(usual))
        guild["temp_easing"], guild["temp_max"] = corner_pair(
            draft, round(usual + 1), round(usual + 3)
        )
    return guild


def corner_pair(draft: Draft, outer: float, inner: float) -> tuple[float | None, float | None]:
    """Both corners of one side, one of them, or none."""
    return draft.rng.choice(
        [(outer, inner), (outer, inner), (outer, None), (None, inner), (None, None)]
    )


def window(draft: Draft) -> Row:
    """Four corners within the season-year, now and then on 02-29."""
    rng = draft.rng
    plateau, rise, fall = rng.randint(0, 9), rng.randint(0, 6), rng.randint(0, 6)
    start = draft.centre_day - rise - plateau // 2 + rng.randint(-5, 5)
    days = [start, start + rise, start + rise + plateau, start + rise + plateau + fall]
    corners = []
    for day in days:
        corner = draft.season_start(draft.years[0]) + timedelta(days=max(0, min(364, day)))
        corners.append(f"{corner.month:02d}-{corner.day:02d}")
    if "02-28" in corners and draft.chance(70):
        at = len(corners) - 1 - corners[::-1].index("02-28")
        corners[at] = "02-29"
    return dict(
        zip(("window_start", "window_full", "window_easing", "window_end"), corners, strict=False)
    )


def invent_production(draft: Draft) -> None:
    """Drifters by reach and guild, some rows with a nursery of their own."""
    rng = draft.rng
    reach_ids = [reach["reach_id"] for reach in draft.tables["reaches"]]
    arms = [split["to_reach"] for split in draft.tables["splits"]] if "twins" in draft.aims else []
    rows = []
    for guild in draft.tables["guilds"]:
        barren = [r for r in reach_ids if r not in arms and draft.chance(15)]
        fertile = [r for r in reach_ids if r not in barren and r not in arms] or reach_ids[:1]
        for reach_id in rng.sample(
            fertile, rng.randint(min(2, len(fertile)), min(5, len(fertile)))
        ):
            row: Row = {
                "reach_id": reach_id,
                "guild_id": guild["guild_id"],
                "production": draft.spread(1e4, 2e6),
            }
            if draft.chance(10):
                row["production"] = 0
            if "nursery" in draft.aims and draft.chance(50):
                row["nursery"] = draft.between(0, 2.5, 1)
            rows.append(row)
    draft.tables["production"] = rows
