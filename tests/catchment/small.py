"""A small catchment in memory, without a fault or a warning, to plant one mistake in at a time.

    up ---\\                    /-- 0.7 -------------\\
           mid (weir at its end)                       low (outlet)
    creek -/                    \\-- 0.3 -- side -----/

Everything in it is invented. Rows are numbered as in a CSV file, from 2.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from shapely import LineString, Point, Polygon, affinity

from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.catchment.understand import Understood, understand
from slackwater.errors import Finding

WINDOW = ("window_start", "window_full", "window_easing", "window_end")
FIRST_DAY, DAYS = date(2019, 1, 1), 365
USE = {
    f"use_{month:02d}": [str(share)] * 3
    for month, share in enumerate((0.9, 0.9, 0.6, 0.3, 0.1, 0, 0, 0.1, 0.3, 0.5, 0.7, 0.9), 1)
}


@dataclass
class SmallTable:
    """One table that can still be changed."""

    rows: list[int]
    cells: dict[str, list[Any]]
    geometry: list[Any] | None = None
    crs: str = ""


@dataclass
class Small:
    """One catchment that can still be changed."""

    tables: dict[str, SmallTable]
    settings: dict[str, Any]
    settings_rows: dict[str, int] = field(default_factory=dict)
    name: str = "small"

    def set(self, table: str, position: int, column: str, value: Any) -> None:
        """Write one cell, adding the column where it is not there."""
        of = self.tables[table]
        if column == "geometry":
            assert of.geometry is not None
            of.geometry[position] = value
        else:
            of.cells.setdefault(column, [""] * len(of.rows))[position] = value

    def append(self, table: str, position: int, **changed: Any) -> int:
        """Add a copy of a row with some cells changed; give the new row's number."""
        of = self.tables[table]
        of.rows.append(of.rows[-1] + 1)
        for column, cells in of.cells.items():
            cells.append(changed.get(column, cells[position]))
        if of.geometry is not None:
            of.geometry.append(of.geometry[position])
        return of.rows[-1]

    def delete(self, table: str, positions: Sequence[int]) -> None:
        """Take rows out."""
        of = self.tables[table]
        kept = [i for i in range(len(of.rows)) if i not in positions]
        of.rows = [of.rows[i] for i in kept]
        of.cells = {name: [cells[i] for i in kept] for name, cells in of.cells.items()}
        if of.geometry is not None:
            of.geometry = [of.geometry[i] for i in kept]

    def raw(self) -> RawCatchment:
        """Give the catchment as a reader would."""
        tables = {
            name: RawTable(name, f"{name}.csv", tuple(of.rows), of.cells, of.geometry, of.crs)
            for name, of in self.tables.items()
        }
        return RawCatchment(self.name, self.settings, self.settings_rows, tables)

    def understood(self) -> Understood:
        """Check it."""
        return understand(self.raw())


def small() -> Small:
    """Give a fresh copy."""
    tables = {
        name: SmallTable(
            list(table.rows),
            {column: list(cells) for column, cells in table.cells.items()},
            None if table.geometry is None else list(table.geometry),
            table.crs,
        )
        for name, table in TABLES.items()
    }
    return Small(tables, deepcopy(SETTINGS))


def southern() -> Small:
    """Give the small catchment in the south, with a year from July and no month in its settings."""
    of = small()
    del of.settings["season_start_month"]
    for name in ("reaches", "gauges", "offtakes"):
        of.tables[name].geometry = [
            affinity.translate(place, 0, -86) for place in of.tables[name].geometry or ()
        ]
    days = [(date(2018, 7, 1) + timedelta(days=i)).isoformat() for i in range(DAYS)]
    of.tables["daily"].cells["date"] = days * 2
    for column, day in zip(WINDOW, ("11-01", "12-01", "02-01", "03-01"), strict=True):
        of.set("guilds", 0, column, day)
    return of


def only_fault(of: Small) -> Finding:
    """Give the one fault of a catchment with one mistake."""
    understood = of.understood()
    assert understood.catchment is None
    assert len(understood.faults) == 1, "\n".join(map(str, understood.faults)) or "no fault"
    assert understood.faults[0].remedy
    return understood.faults[0]


def place_of(fault: Finding) -> tuple[str, int | None, str, str]:
    """Give where a fault stands and what it is: table, row, column, code."""
    return fault.table, fault.row, fault.column, fault.code


def _table(cells: Mapping[str, Sequence[Any]], geometry: Sequence[Any] | None = None) -> SmallTable:
    columns = {name: list(column) for name, column in cells.items()}
    n_rows = len(next(iter(columns.values())))
    assert all(len(column) == n_rows for column in columns.values())
    crs = "EPSG:4326" if geometry is not None else ""
    places = None if geometry is None else list(geometry)
    return SmallTable([2 + i for i in range(n_rows)], columns, places, crs)


def _daily() -> SmallTable:
    """A year at each gauge; 10, 17, 24 m3/s by turns at G1, four tenths of it at G2."""
    days = [(FIRST_DAY + timedelta(days=i)).isoformat() for i in range(DAYS)]
    flows = [(10, 17, 24)[i % 3] for i in range(DAYS)]
    warmth = [12 + (i % 100) / 10 for i in range(DAYS)]
    return _table(
        {
            "gauge_id": ["G1"] * DAYS + ["G2"] * DAYS,
            "date": days * 2,
            "flow_m3s": [f"{flow:.1f}" for flow in flows] + [f"{flow * 0.4:.2f}" for flow in flows],
            "water_temp_c": [str(each) for each in warmth] * 2,
        }
    )


JOIN, FORK, MEET = (10.05, 50.00), (10.10, 50.00), (10.20, 50.00)

TABLES: dict[str, SmallTable] = {
    "reaches": _table(
        {
            "reach_id": ["up", "creek", "mid", "low", "side"],
            "to_reach": ["mid", "mid", "low", "", "low"],
            "name": ["Upper", "Creek", "Middle", "Lower", "Side arm"],
            "length_m": ["4000", "6000", "3700", "8000", "7500"],
            "gauge_id": ["G1", "G2", "G1", "G1", "G1"],
            "flow_scale": ["0.7", "", "", "1.1", "0.3"],
            "area_km2": ["70", "42", "105", "112", ""],
            "velocity_coef": ["", "0.3", "0.25", "0.25", "0.3"],
            "velocity_exp": ["0.34", "", "0.34", "0.34", "0.34"],
            "width_m": ["20", "", "25", "30", "10"],
            "slope": ["0.001", "", "0.001", "0.001", "0.001"],
            "manning_n": ["0.035", "", "0.04", "0.03", "0.04"],
            "depth_m": ["1", "0.5", "1.5", "2", "1"],
            "nursery": ["1", "0.8", "1", "1.2", "1"],
        },
        [
            LineString([(10.00, 50.02), (10.02, 50.015), JOIN]),
            LineString([(10.00, 49.97), (10.03, 49.98), JOIN]),
            LineString([JOIN, FORK]),
            LineString([MEET, (10.25, 50.01), (10.30, 50.00)]),
            LineString([FORK, (10.15, 50.02), MEET]),
        ],
    ),
    "splits": _table({
        "from_reach": ["mid", "mid"], "to_reach": ["low", "side"], "share": ["0.7", "0.3"],
    }),
    "weirs": _table({
        "reach_id": ["mid", "mid"], "name": ["Old weir", "Old weir"],
        "guild_id": ["perch", ""], "survival": ["0.9", "0.8"], "source": ["invented", "invented"],
    }),
    "gauges": _table(
        {"gauge_id": ["G1", "G2"], "name": ["Bridge", "Ford"], "area_km2": ["100", "40"]},
        [Point(10.07, 50.0), Point(10.03, 49.98)],
    ),
    "daily": _daily(),
    "guilds": _table({
        "guild_id": ["perch", "bream"], "name": ["Perch", "Bream"], "weight": ["1", "2"],
        "window_start": ["03-01", "04-01"], "window_full": ["03-15", "04-10"],
        "window_easing": ["05-01", "06-01"], "window_end": ["06-01", "06-30"],
        "temp_min": ["10", "-1"], "temp_full": ["12", "11"],
        "temp_easing": ["20", "22"], "temp_max": ["24", "26"],
        "flow_trigger": ["0", "1.2"], "trigger_days": ["0", "3"], "flow_floor": ["0.2", "0.1"],
        "full_season_days": ["40", "30"], "drift_days": ["4", "6"], "drift_stages": ["1", "3"],
        "mortality_per_day": ["0.1", "0"], "drift_speed_ratio": ["1", "0.9"],
        "encounter": ["1", "1.5"], "night_drift_share": ["0.6", "0.8"], "outlet_value": ["0", "1"],
        "adult_per_settler": ["0.001", "0.002"], "resident_per_ml": ["0.1", "0"],
        "adult_per_resident": ["0.1", "0"], "egg_mm": ["1", "3"], "larva_mm": ["5", "6"],
        "species": ["perch", "bream"], "source": ["invented", "invented"],
    }),
    "production": _table({
        "reach_id": ["up", "creek", "mid"], "guild_id": ["perch", "bream", "perch"],
        "production": ["1e6", "500000", "200000"], "nursery": ["", "1.5", "1"],
        "basis": ["measured", "estimated", "assumed"], "source": ["invented"] * 3,
    }),
    "offtakes": _table(
        {
            "offtake_id": ["A", "B", "C"], "label": ["Pump A", "Pump B", "Channel C"],
            "landholder": ["Holder 1", "Holder 2", "Holder 3"], "licence": ["001", "002", "003"],
            "contact": ["a", "b", "c"], "reach_id": ["up", "mid", ""],
            "chainage_m": ["2000", "", ""],
            "kind": ["rail_suction", "fixed_suction", "gravity_channel"],
            "capacity_m3s": ["0.2", "0.3", "0.5"], **USE,
            "cease_flow_m3s": ["0", "1", "2"], "night_use_share": ["0.4", "", "0.5"],
            "position": ["1", "1.2", "0.8"], "intake_depth_m": ["1", "1.5", "2"],
            "opening_mm": ["10", "20", "50"], "fitted": ["none", "", "drum"],
            "power": ["yes", "no", "no"], "access": ["good", "fair", "poor"],
            "district": ["North", "North", "South"], "willing": ["yes", "unknown", "no"],
            "quote": ["", "50000", ""], "quote_option": ["", "cone", ""],
            "status": ["candidate", "offered", "built"], "flushes_per_day": ["2", "1", "0"],
            "flush_minutes": ["3", "3", "0"], "flush_litres": ["500", "300", "0"],
            "filter_cleaning_hours_month": ["4", "2", "1"], "pumping_months": ["6", "7", "8"],
            "pump_head_m": ["20", "15", "0"], "pump_efficiency": ["0.7", "0.65", "0.8"],
            "wear_cost_year": ["100", "200", "0"], "basis": ["measured", "estimated", "assumed"],
            "observed_on": ["2020-05-01", "2020-05-02", ""], "source": ["invented"] * 3,
        },
        [Point(10.02, 50.015), Point(10.08, 50.0005), Point(10.25, 50.0095)],
    ),
    "metered": _table({
        "offtake_id": ["A", "A", "B"], "date": ["2019-05-01", "2019-05-02", "2019-05-01"],
        "draw_m3s": ["0.1", "0.15", "0.2"],
    }),
    "options": _table({
        "option_id": ["cone", "drum"], "name": ["Cone screen", "Drum screen"],
        "approach_velocity_ms": ["0.1", "0.1"], "opening_mm": ["2", "2"],
        "open_share": ["0.5", "0.4"], "cleaning": ["brush", "none"], "needs_power": ["yes", "no"],
        "min_depth_m": ["0.5", "0.4"], "unit_area_m2": ["2", "3"],
        "unit_price": ["20000", "15000"], "unit_price_low": ["15000", "12000"],
        "unit_price_high": ["30000", "20000"], "upkeep_share_year": ["0.03", "0.02"],
        "life_years": ["20", "15"], "head_loss_m": ["0.05", "0.02"],
        "filter_cut_share": ["0.5", "0.3"],
        "kinds": ["", "rail_suction; gravity_channel"], "source": ["invented", "invented"],
    }),
    "efficacy": _table({
        "option_id": ["cone", "cone", "drum", "drum"],
        "guild_id": ["perch", "bream", "perch", "bream"],
        "drifter": ["0.6", "0.7", "0.4", "0.5"], "resident": ["0.9", "", "0.9", "0.9"],
        "low": ["0.4", "0.5", "0.2", "0.3"], "high": ["0.8", "0.9", "0.6", "0.7"],
        "at_approach_ms": ["0.1", "0.1", "0.1", "0.1"], "source": ["invented"] * 4,
    }),
    "prices": _table({
        "item": ["mount", "access", "power", "design"],
        "kind": ["rail_suction", "poor", "", ""],
        "amount": ["5000", "3000", "12000", "0.1"], "low": ["4000", "", "9000", ""],
        "high": ["8000", "", "20000", ""], "source": ["invented"] * 4,
    }),
    "places": _table({"name": ["Town"], "size": ["2"]}, [Point(10.1, 50.02)]),
    "roads": _table(
        {"road_id": ["R1"], "name": ["High road"], "class": ["main"], "speed_kmh": ["80"]},
        [LineString([(10.0, 50.03), (10.3, 50.03)])],
    ),
    "depots": _table({"name": ["Yard"]}, [Point(10.11, 50.02)]),
    "land": _table(
        {"name": ["North"], "kind": ["district"]},
        [Polygon([(10.0, 50.0), (10.3, 50.0), (10.3, 50.1), (10.0, 50.1)])],
    ),
}  # fmt: skip

SETTINGS: dict[str, Any] = {
    "name": "Small river",
    "crs": "EPSG:4326",
    "currency": "CDL",
    "time_zone": "UTC",
    "season_start_month": 1, "max_gap_days": 10, "area_exponent": 1.0,
    "metered_missing": "use",
    "production_basis": "index",
    "discount_rate": 0.07, "horizon_years": 20, "landholder_share": 0.2,
    "snap_limit_m": 250,
    "year_weights": {"2019": 1.0},
    "allocation": {"2019": 0.8},
    "screen_criteria": {
        "name": "Rules", "approach_velocity_ms": 0.1, "approach_velocity_passive_ms": 0.06,
        "max_opening_mm": 3, "least_life_years": 10,
    },
    "weights": {"risk": 0.5, "overlap": 0.2, "cost": 0.3},
    "ranges": {"encounter": [0.5, 2], "depth_m": [0.5, 1.5]},
}  # fmt: skip
