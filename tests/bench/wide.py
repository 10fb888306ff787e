"""An invented catchment with places: 5,000 winding reaches and 10,000 offtakes on them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import shapely

from slackwater.catchment.table import Table
from slackwater.desk.evaluation import evaluate
from slackwater.desk.map_view import MapView
from slackwater.desk.opening import open_catchment
from tests.bench.rivers import make_river

DEMO = Path(__file__).resolve().parents[2] / "demo_data" / "lantern.gpkg"
REACHES = 5_000
OFFTAKES_PER_REACH = 2.0
WEST, SOUTH, EAST, NORTH = 90.0, -37.0, 96.0, -33.0
POINTS = 24
WINDING_SHARE = 0.16


def wide_view(reaches: int = REACHES) -> MapView:
    """Give the catchment evaluated and ready to be served, with the demo's screens and prices."""
    rng = np.random.default_rng(reaches)
    below, lines = branching(reaches, rng)
    river = make_river(reaches, 1, 30, OFFTAKES_PER_REACH, below)
    demo = open_catchment(DEMO).catchment
    share = rng.uniform(0.02, 0.98, len(river.reach_index))
    places = shapely.line_interpolate_point(lines[river.reach_index], share, normalized=True)
    tables = dict(river.tables)
    tables["reaches"] = replace(tables["reaches"], geometry=lines)
    tables["offtakes"] = replace(
        _named(tables["offtakes"], "offtake_id", "OT-{:05d}"), geometry=places
    )
    tables |= {name: demo.tables[name] for name in ("options", "prices")}
    tables["efficacy"] = _of_one_guild(demo.tables["efficacy"])
    catchment = replace(
        river,
        settings=replace(demo.settings, name="Wide River"),
        tables=tables,
        flow_scale=0.002 * _reaches_above(below) * rng.uniform(0.8, 1.2, reaches),
        chainage_m=share * river.length_m[river.reach_index],
    )
    return MapView(evaluate(catchment), (), None, datetime(2026, 1, 2, tzinfo=UTC))


def branching(n: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Reach below each, and each one's line; all drain towards the west."""
    places = np.column_stack([rng.uniform(WEST, EAST, n), rng.uniform(SOUTH, NORTH, n)])
    outlet = np.array([WEST - 0.05, (SOUTH + NORTH) / 2])
    places = places[np.argsort(np.hypot(*(places - outlet).T))]
    below = np.full(n, -1, np.int64)
    for at in range(1, n):
        away = np.hypot(*(places[:at] - places[at]).T)
        below[at] = int(away.argmin())
    ends = np.vstack([outlet, places])[below + 1]
    return below, np.array(
        [_winding(*each, rng) for each in zip(places, ends, strict=True)], object
    )


def _winding(start: np.ndarray, end: np.ndarray, rng: np.random.Generator) -> shapely.LineString:
    along = np.linspace(0.0, 1.0, POINTS)
    sway = np.cumsum(np.cumsum(rng.normal(0.0, 1.0, POINTS)))
    sway -= sway[0] + (sway[-1] - sway[0]) * along
    widest = np.abs(sway).max() or 1.0
    across = np.array([start[1] - end[1], end[0] - start[0]]) * WINDING_SHARE / widest
    return shapely.LineString(start + np.outer(along, end - start) + np.outer(sway, across))


def _reaches_above(below: np.ndarray) -> np.ndarray:
    """Reaches above each, itself among them; those below come first."""
    count = np.ones(len(below))
    for reach in range(len(below) - 1, 0, -1):
        count[below[reach]] += count[reach]
    return count


def _named(table: Table, column: str, pattern: str) -> Table:
    names = np.array([pattern.format(row + 1) for row in range(len(table))], object)
    return replace(table, columns={**table.columns, column: names})


def _of_one_guild(efficacy: Table) -> Table:
    """The first guild's rows, under the bench's only guild."""
    guild = efficacy.text("guild_id")
    kept = guild == guild[0]
    columns = {name: values[kept] for name, values in efficacy.columns.items()}
    columns["guild_id"] = np.full(int(kept.sum()), "g", object)
    return replace(efficacy, rows=efficacy.rows[kept], columns=columns, defaulted={})
