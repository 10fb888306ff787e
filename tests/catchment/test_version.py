"""The data version follows the content and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from shapely import LineString, MultiPolygon, Polygon

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Kind
from tests.catchment.small import Small, SmallTable, small


def version_of(of: Small) -> str:
    """Give the version of a catchment without fault."""
    understood = of.understood()
    assert understood.catchment is not None, understood.faults
    return understood.catchment.data_version


PLAIN = version_of(small())


def _numbers_typed(of: Small) -> None:
    for name, table in of.tables.items():
        for column, cells in table.cells.items():
            field = TABLES[name].by_name[column]
            if field.is_number:
                table.cells[column] = [float(cell) if cell else None for cell in cells]
            if field.kind is Kind.DATE:
                table.cells[column] = [date.fromisoformat(c) if c else None for c in cells]


def _numbers_otherwise(of: Small) -> None:
    of.set("offtakes", 0, "capacity_m3s", " 2.0e-1 ")
    of.set("production", 0, "production", "1000000.000")
    of.set("guilds", 1, "mortality_per_day", "-0")


def _rows_turned(of: Small) -> None:
    for table in of.tables.values():
        table.cells = {name: cells[::-1] for name, cells in table.cells.items()}
        table.geometry = None if table.geometry is None else table.geometry[::-1]
        table.rows = [row + 100 for row in table.rows]


def _columns_turned(of: Small) -> None:
    for table in of.tables.values():
        table.cells = dict(reversed(table.cells.items()))
    of.settings = dict(reversed(of.settings.items()))


def _defaults_left_out(of: Small) -> None:
    of.set("reaches", 0, "velocity_exp", "")
    of.set("reaches", 0, "manning_n", "")
    of.set("offtakes", 0, "fitted", "")
    of.set("offtakes", 2, "basis", "")
    of.set("guilds", 0, "weight", "")
    for key in ("max_gap_days", "area_exponent", "metered_missing", "horizon_years"):
        del of.settings[key]
    del of.settings["season_start_month"]


def _defaults_given(of: Small) -> None:
    of.set("efficacy", 1, "resident", "0.7")
    of.set("production", 0, "nursery", "1")
    of.set("options", 0, "kinds", "")


def _crs_and_encoding(of: Small) -> None:
    for table in of.tables.values():
        table.crs = "OGC:CRS84" if table.geometry is not None else ""
    of.settings["crs"] = "EPSG:7844"
    of.settings["encoding"] = {"all": "cp1252"}


def _stray_column(of: Small) -> None:
    of.tables["offtakes"].cells["OBJECTID"] = ["1", "2", "3"]


def _area_otherwise(of: Small) -> None:
    ring = of.tables["land"].geometry[0].exterior.coords  # type: ignore[index]
    turned = [*ring[2:-1], *ring[:3]][::-1]
    of.set("land", 0, "geometry", MultiPolygon([Polygon(turned)]))


def _height_added(of: Small) -> None:
    line = of.tables["reaches"].geometry[0]  # type: ignore[index]
    of.set("reaches", 0, "geometry", LineString([(*point, 12.0) for point in line.coords]))


@pytest.mark.parametrize(
    "change",
    [
        _numbers_typed,
        _numbers_otherwise,
        _rows_turned,
        _columns_turned,
        _defaults_left_out,
        _defaults_given,
        _crs_and_encoding,
        _stray_column,
        _area_otherwise,
        _height_added,
    ],
)
def test_same_content(change: Callable[[Small], None]) -> None:
    """The same content, however it is written or stored, has the same version."""
    of = small()
    change(of)
    assert version_of(of) == PLAIN


def test_empty_table_is_a_missing_one() -> None:
    """A table without rows counts as one that is not there."""
    missing, empty = small(), small()
    del missing.tables["places"]
    empty.tables["places"] = SmallTable([], {"name": [], "size": []}, [], "")
    assert version_of(missing) == version_of(empty)


def test_name_of_the_folder() -> None:
    """A name that the settings give is content, the folder's is not."""
    of, moved = small(), small()
    del of.settings["name"]
    del moved.settings["name"]
    moved.name = "elsewhere"
    assert version_of(of) == version_of(moved) != PLAIN


@pytest.mark.parametrize(
    ("table", "position", "column", "value"),
    [
        ("reaches", 0, "length_m", "4000.0000000001"),
        ("reaches", 0, "name", "Upper reach"),
        ("reaches", 0, "geometry", LineString([(10, 50.02), (10.02, 50.0150000001), (10.05, 50)])),
        ("splits", 0, "share", "0.70000001"),
        ("weirs", 0, "source", ""),
        ("gauges", 0, "name", "Bridge "),
        ("daily", 5, "flow_m3s", "10.01"),
        ("daily", 5, "water_temp_c", ""),
        ("guilds", 0, "egg_mm", ""),
        ("production", 0, "production", "1000001"),
        ("offtakes", 0, "licence", "01"),
        ("offtakes", 0, "observed_on", "2020-05-03"),
        ("metered", 0, "draw_m3s", "0.11"),
        ("options", 0, "kinds", "rail_suction"),
        ("efficacy", 0, "low", ""),
        ("prices", 0, "kind", "fixed_suction"),
        ("places", 0, "size", "3"),
        ("land", 0, "name", "South"),
    ],
)
def test_other_content(table: str, position: int, column: str, value: Any) -> None:
    """A change in any cell or place changes the version."""
    of = small()
    of.set(table, position, column, value)
    assert version_of(of) != PLAIN


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("currency", "CDM"),
        ("discount_rate", 0.05),
        ("weights", {"risk": 1}),
        ("allocation", {}),
        ("ranges", {}),
        ("screen_criteria", {}),
        ("year_weights", {"2019": 2}),
    ],
)
def test_other_settings(key: str, value: Any) -> None:
    """A change in a setting changes the version."""
    of = small()
    of.settings[key] = value
    assert version_of(of) != PLAIN


def test_cells_do_not_run_into_each_other() -> None:
    """Text moved from one cell to the next is other content."""
    of, moved = small(), small()
    of.set("offtakes", 0, "district", "ab")
    of.set("offtakes", 1, "district", "c")
    moved.set("offtakes", 0, "district", "a")
    moved.set("offtakes", 1, "district", "bc")
    assert version_of(of) != version_of(moved)


def test_twelve_digits() -> None:
    """The version is twelve hexadecimal digits."""
    assert len(PLAIN) == 12
    assert set(PLAIN) <= set("0123456789abcdef")
