"""Invents the gauges' daily flow and water temperature, with dry spells, gaps and years that are
not whole.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import exp

from .draft import Draft, Row

DAY = timedelta(days=1)


def invent_daily(draft: Draft) -> None:
    """Daily rows from before the first season-year to after the last."""
    rng = draft.rng
    longest = rng.choice([3, 5, 14])
    if draft.chance(50):
        draft.settings["max_gap_days"] = longest
    longest = draft.settings.get("max_gap_days", 10)
    whole = list(draft.years)
    spoilt: list[int] = []
    if "incomplete_year" in draft.aims:
        spoilt = [rng.choice([whole[0] - 1, whole[-1] + 1])]
        if len(whole) == 3 and draft.chance(60):
            spoilt = [whole.pop(1)]
    draft.years = whole
    years = sorted(whole + spoilt)
    first = draft.season_start(years[0]) - rng.randint(0, 20) * DAY
    last = draft.season_start(years[-1] + 1) + rng.randint(-1, 20) * DAY
    rows: list[Row] = []
    thermometers = rng.choice([1, 2, 2, 2, 2])
    for n, gauge in enumerate(draft.tables["gauges"]):
        days = [first + k * DAY for k in range((last - first).days + 1)]
        flow = dict(
            zip(
                days,
                invented_flow(
                    draft, len(days), draft.spread(2, 25) if n == 0 else draft.spread(0.5, 8)
                ),
                strict=False,
            )
        )
        warm = {day: round(draft.usual_temperature_c(day) + rng.uniform(-2, 2), 1) for day in days}
        if n >= thermometers or ("temperature" not in draft.aims and draft.chance(30)):
            warm = {}
        spoil(draft, flow, warm, years, longest)
        if n == 0:
            for year in spoilt:
                remove(
                    flow,
                    draft.season_start(year) + rng.randint(20, 300) * DAY,
                    longest + rng.randint(1, 9),
                )
        for day in days:
            row: Row = {"gauge_id": gauge["gauge_id"], "date": day.isoformat()}
            row["flow_m3s"], row["water_temp_c"] = flow.get(day), warm.get(day)
            if row["flow_m3s"] is not None or row["water_temp_c"] is not None:
                rows.append(row)
    if draft.chance(20):
        rng.shuffle(rows)
    draft.tables["daily"] = rows


def invented_flow(draft: Draft, count: int, base_m3s: float) -> list[float]:
    """Flow that wanders about a base and now and then rises sharply and falls away."""
    rng, wander, pulse, flows = draft.rng, 0.0, 0.0, []
    for _ in range(count):
        wander = 0.92 * wander + rng.gauss(0, 0.12)
        pulse = 0.7 * pulse + (rng.uniform(0.4, 1.4) if rng.random() < 0.06 else 0.0)
        flows.append(float(f"{base_m3s * exp(wander + pulse):.4g}"))
    return flows


def spoil(
    draft: Draft, flow: dict[date, float], warm: dict[date, float], years: list[int], longest: int
) -> None:
    """Dry spells, short gaps and long temperature gaps, around the spawning of each year."""
    rng = draft.rng
    dry_here = "dry_day" in draft.aims and draft.chance(65)
    for year in years:
        centre = draft.centre(year)
        if dry_here:
            start = centre + rng.randint(-8, 4) * DAY
            for k in range(rng.randint(2, 6)):
                if start + k * DAY in flow:
                    flow[start + k * DAY] = 0.0
        if "gap" in draft.aims and draft.chance(60):
            remove(flow, centre + rng.randint(-8, 5) * DAY, rng.randint(1, min(longest, 4)))
        if "gap" in draft.aims and warm and draft.chance(50):
            remove(warm, centre + rng.randint(-8, 5) * DAY, rng.randint(1, min(longest, 4)))
        if "temperature_gap" in draft.aims and warm and draft.chance(60):
            remove(warm, centre + rng.randint(-9, 2) * DAY, longest + rng.randint(1, 5))


def remove(record: dict[date, float], start: date, count: int) -> None:
    """Takes days out of a record, never its first or last."""
    ends = (min(record), max(record))
    for k in range(count):
        day = start + k * DAY
        if day in record and day not in ends:
            del record[day]
