"""Small catchments in memory, made the public way: raw rows in, `understand` out.

Rows are written as a test needs them; what a test does not say is filled with plain values: one
gauge ``G`` with constant flow, reaches of 20 km at 0.3 m/s, offtakes that draw their capacity
every day, fish that spawn on one day and neither die nor settle on their way.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.catchment.understand import Understood, understand

Row = Mapping[str, Any]
Numbers = NDArray[np.float64]

FIRST_DAY = "2018-07-01"
YEAR_DAYS = 365
NEVER_DAYS = 1e12
"""A drift so long that nobody settles within a test's river."""
GAUGE = "G"
LONGITUDE, LATITUDE = 100.0, -36.0
LINE_DEGREES = 0.01

REACH = {"to_reach": "", "length_m": 20000.0, "gauge_id": GAUGE, "flow_scale": 1.0,
         "velocity_coef": 0.3, "velocity_exp": 0.0}  # fmt: skip
GUILD = {"name": "fish", "window_start": "10-10", "window_full": "10-10", "window_easing": "10-10",
         "window_end": "10-10", "full_season_days": 1.0, "drift_days": NEVER_DAYS,
         "mortality_per_day": 0.0, "outlet_value": 1.0, "adult_per_settler": 1.0}  # fmt: skip
OFFTAKE = {"kind": "fixed_suction", "capacity_m3s": 1.0,
           **{f"use_{month:02d}": 1.0 for month in range(1, 13)}}  # fmt: skip
OPTION = {"name": "screen", "approach_velocity_ms": 0.1, "opening_mm": 2.0, "open_share": 0.5,
          "cleaning": "brush", "unit_area_m2": 1.0, "unit_price": 1000.0}  # fmt: skip


def raw_river(
    reaches: Iterable[Row],
    offtakes: Iterable[Row] = (),
    *,
    guilds: Iterable[Row] = ({},),
    production: Sequence[Row] = (),
    flows: Mapping[str, Numbers | float] | None = None,
    temperatures: Mapping[str, Numbers] | None = None,
    gauges: Iterable[Row] = (),
    first_day: str = FIRST_DAY,
    days: int = YEAR_DAYS,
    splits: Iterable[Row] = (),
    weirs: Iterable[Row] = (),
    metered: Iterable[Row] = (),
    options: Iterable[Row] = ({},),
    efficacy: Iterable[Row] = (),
    prices: Iterable[Row] = (),
    settings: Mapping[str, Any] | None = None,
) -> RawCatchment:
    """Lay out a catchment as a reader would.

    Parameters
    ----------
    reaches : a row may have a ``place``, a whole number, for where on the map its line lies.
    flows, temperatures : gauge -> (days,) values from ``first_day`` (NaN is an empty cell), or one
        flow for every day.
    gauges : rows that say more than the id.
    """
    flows = {GAUGE: 10.0} if flows is None else flows
    reach_rows = [{"reach_id": f"r{i}", **REACH, **row} for i, row in enumerate(reaches)]
    line_of = {row["reach_id"]: _line(row.pop("place", i)) for i, row in enumerate(reach_rows)}
    offtake_rows = [{"offtake_id": f"o{i}", **OFFTAKE, **row} for i, row in enumerate(offtakes)]
    guild_rows = [{"guild_id": f"g{i}", **GUILD, **row} for i, row in enumerate(guilds)]
    option_rows = [{"option_id": f"s{i}", **OPTION, **row} for i, row in enumerate(options)]
    said = {row["gauge_id"]: row for row in gauges}
    gauge_rows = [{"gauge_id": gauge, **said.get(gauge, {})} for gauge in flows]
    tables = {
        "reaches": _table("reaches", reach_rows, list(line_of.values())),
        "offtakes": _table(
            "offtakes",
            offtake_rows,
            [shapely.Point(line_of[row["reach_id"]].coords[0]) for row in offtake_rows],
        ),
        "gauges": _table("gauges", gauge_rows, [_line(i).centroid for i in range(len(gauge_rows))]),
        "daily": _table("daily", _daily(flows, temperatures or {}, first_day, days)),
        "guilds": _table("guilds", guild_rows),
        "production": _table(
            "production",
            [
                {"guild_id": guild_rows[0]["guild_id"], **row}
                for row in production
                or [{"reach_id": reach_rows[0]["reach_id"], "production": 0.0}]
            ],
        ),
        "options": _table("options", option_rows),
        "efficacy": _table("efficacy", list(efficacy) or [_no_effect(option_rows, guild_rows)]),
        "prices": _table("prices", list(prices) or [{"item": "mobilisation", "amount": 0.0}]),
        "splits": _table("splits", list(splits)),
        "weirs": _table("weirs", list(weirs)),
        "metered": _table("metered", list(metered)),
    }
    return RawCatchment(
        default_name="a test's river",
        settings={"crs": "EPSG:4326", "season_start_month": 7, **(settings or {})},
        settings_rows={},
        tables={name: table for name, table in tables.items() if table.rows},
    )


def understood_river(*args: Any, **more: Any) -> Understood:
    """Understand the rows of `raw_river`, faults and warnings included."""
    return understand(raw_river(*args, **more))


def river_of(*args: Any, **more: Any) -> Catchment:
    """Give the catchment of the rows of `raw_river`; a fault in them is the test's own mistake."""
    understood = understood_river(*args, **more)
    assert understood.catchment is not None, "\n".join(map(str, understood.faults))
    return understood.catchment


def chain_of_takes(
    shares: Sequence[float], *, production: float = 1.0, flow_m3s: float = 10.0
) -> Catchment:
    """One reach with offtakes in series, each taking its share of all that pass it.

    Nobody settles or dies and each that is left at the outlet is worth 1, so the river's worth is
    the production times the product of (1 - share).
    """
    return river_of(
        [{"reach_id": "r", "length_m": 20000.0}],
        [
            {"reach_id": "r", "capacity_m3s": share * flow_m3s,
             "chainage_m": 10000.0 + 9000.0 * (i + 1) / len(shares)}
            for i, share in enumerate(shares)
        ],
        production=[{"reach_id": "r", "production": production}],
        flows={GAUGE: flow_m3s},
    )  # fmt: skip


def _line(i: int) -> shapely.LineString:
    latitude = LATITUDE + i * LINE_DEGREES
    return shapely.LineString([(LONGITUDE, latitude), (LONGITUDE + LINE_DEGREES, latitude)])


def _no_effect(options: Sequence[Row], guilds: Sequence[Row]) -> Row:
    return {"option_id": options[0]["option_id"], "guild_id": guilds[0]["guild_id"], "drifter": 0.0}


def _daily(
    flows: Mapping[str, Numbers | float], temperatures: Mapping[str, Numbers], first: str, days: int
) -> list[Row]:
    dates = [str(date) for date in np.datetime64(first) + np.arange(days)]
    rows: list[Row] = []
    for gauge, given in flows.items():
        flow = np.broadcast_to(np.asarray(given, float), days)
        warm = np.broadcast_to(temperatures.get(gauge, np.array(math.nan)), days)
        rows += [
            {"gauge_id": gauge, "date": date, "flow_m3s": _cell(q), "water_temp_c": _cell(t)}
            for date, q, t in zip(dates, flow, warm, strict=True)
        ]
    return rows


def _cell(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _table(name: str, rows: Sequence[Row], geometry: Sequence[Any] | None = None) -> RawTable:
    columns = dict.fromkeys(column for row in rows for column in row)
    return RawTable(
        name=name,
        found_in=name,
        rows=tuple(range(2, 2 + len(rows))),
        cells={column: [row.get(column) for row in rows] for column in columns},
        geometry=geometry,
        crs="EPSG:4326" if geometry is not None else "",
    )
