"""What do the tables of the settings say: years, ranges, criteria, renamed columns?"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from slackwater.catchment.contract import CRITERION, RANGES, TABLES
from slackwater.catchment.contract.columns import number, positive, share
from slackwater.catchment.fields import Shape
from slackwater.catchment.settings import Criterion
from slackwater.catchment.settings_reading import SettingsReading
from slackwater.catchment.wording import needs

YEAR = re.compile("1[89][0-9]{2}|2[01][0-9]{2}")
BY_YEAR = {
    "year_weights": positive("year_weights", "", "weight of a season-year"),
    "allocation": share("allocation", "share of unmetered draw taken that season-year"),
}
BOUND = number("range", "", "a bound of a range")
PAIR = "two numbers, [low, high]"
COORDINATES = ("lon", "lat", "x", "y")


def read_years(reading: SettingsReading, name: str) -> dict[int, float]:
    """Read a table of season-year = number."""
    values: dict[int, float] = {}
    for year, given in reading.table(name).items():
        dotted = f"{name}.{year}"
        if not YEAR.fullmatch(str(year)):
            reading.fault(dotted, given, "bad_year", "a season-year such as 2019 as the key")
            continue
        value = reading.cell(dotted, BY_YEAR[name], given)
        if value is not None:
            values[int(year)] = float(value)
        elif dotted not in reading.bad:
            reading.fault(dotted, given, "empty_cell", f"fill it: {needs(BY_YEAR[name])}")
    return values


def read_ranges(reading: SettingsReading) -> dict[str, tuple[float, float]]:
    """Read [low, high] of each known range: multiples, but metres for ``depth_m``."""
    ranges: dict[str, tuple[float, float]] = {}
    for name, given in reading.table("ranges").items():
        if name not in RANGES:
            reading.unknown(f"ranges.{name}", given, RANGES)
            continue
        pair = _read_pair(reading, f"ranges.{name}", given)
        if pair is not None and _in_order(reading, name, pair):
            ranges[name] = pair
    return ranges


def _read_pair(reading: SettingsReading, dotted: str, given: Any) -> tuple[float, float] | None:
    """Read two numbers, from a list or, in a sheet, from text such as ``[0.5, 2]``."""
    parts = given.strip(" []").split(",") if isinstance(given, str) else given
    if not isinstance(parts, Sequence) or len(parts) != 2:
        reading.fault(dotted, given, "bad_range", PAIR)
        return None
    bounds: list[float] = []
    for part in parts:
        if dotted in reading.bad:
            return None
        value = reading.cell(dotted, BOUND, part)
        if value is None:
            if dotted not in reading.bad:
                reading.fault(dotted, given, "bad_range", PAIR)
            return None
        bounds.append(float(value))
    return bounds[0], bounds[1]


def _in_order(reading: SettingsReading, name: str, pair: tuple[float, float]) -> bool:
    """Report a low above the value (1, as a multiple) or a high below it."""
    low, high = pair
    dotted = f"ranges.{name}"
    if name == "depth_m":
        if low > high:
            reading.fault(dotted, pair, "low_above_value", "low at most high")
    elif low > 1:
        reading.fault(dotted, pair, "low_above_value", "a low of at most 1; 1 is the value itself")
    elif high < 1:
        reading.fault(
            dotted, pair, "high_below_value", "a high of at least 1; 1 is the value itself"
        )
    return dotted not in reading.bad


def read_criteria(reading: SettingsReading) -> tuple[Criterion, ...]:
    """Read the rows of ``[[criterion]]``; in a sheet they are numbered from 1."""
    given = reading.given.get("criterion", [])
    rows = list(given.values()) if isinstance(given, Mapping) else given
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        reading.fault("criterion", given, "bad_setting", "rows, each headed [[criterion]]")
        return ()
    criteria = [_read_criterion(reading, f"criterion.{i}", row) for i, row in enumerate(rows, 1)]
    return tuple(criterion for criterion in criteria if criterion is not None)


def _read_criterion(
    reading: SettingsReading, dotted: str, row: Mapping[str, Any]
) -> Criterion | None:
    known = [each.name for each in CRITERION]
    for key, value in row.items():
        if key not in known:
            reading.unknown(f"{dotted}.{key}", value, known)
    values = {
        each.name: reading.cell(f"{dotted}.{each.name}", each, row.get(each.name))
        for each in CRITERION
    }
    if any(value is None for value in values.values()):
        return None
    criterion = Criterion(str(values["column"]), *(float(values[key]) for key in known[1:]))
    if criterion.best == criterion.worst:
        reading.fault(
            f"{dotted}.best", row["best"], "best_is_worst", "a best that differs from worst"
        )
    return criterion


def read_renames(reading: SettingsReading) -> dict[str, dict[str, str]]:
    """Read ``[columns.TABLE]``, and hold the names in ``[encoding]`` against the tables."""
    tables = [*TABLES]
    for name, given in reading.table("encoding").items():
        if name not in (*tables, "all"):
            reading.unknown(f"encoding.{name}", given, [*tables, "all"])
    renames: dict[str, dict[str, str]] = {}
    for table, columns in reading.table("columns").items():
        dotted = f"columns.{table}"
        if table not in TABLES:
            reading.unknown(dotted, "", tables)
        elif not isinstance(columns, Mapping):
            reading.fault(dotted, columns, "bad_setting", "a table of contract name = your name")
        else:
            renames[table] = _read_names(reading, table, columns)
    return renames


def _read_names(reading: SettingsReading, table: str, columns: Mapping[str, Any]) -> dict[str, str]:
    """Read contract name = agency's name of one table."""
    spec = TABLES[table]
    known = [*spec.by_name]
    if spec.shape is Shape.POINT:
        known += COORDINATES
    if table == "offtakes":
        known += further_columns(reading)
    names: dict[str, str] = {}
    for name, own in columns.items():
        dotted = f"columns.{table}.{name}"
        if name not in known:
            reading.unknown(dotted, own, known)
        elif not isinstance(own, str) or not own:
            reading.fault(dotted, own, "bad_setting", "the column's name in your file, as text")
        else:
            names[name] = own
    return names


def further_columns(reading: SettingsReading) -> list[str]:
    """Give the columns that criteria name, as given."""
    given = reading.given.get("criterion", [])
    rows = list(given.values()) if isinstance(given, Mapping) else given
    names = [row.get("column") for row in rows if isinstance(row, Mapping)]
    return [name for name in names if isinstance(name, str) and name]
