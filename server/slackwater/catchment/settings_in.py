"""What do the settings say? Plain nested values become `Settings`, every slip reported."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from slackwater.catchment.contract import SETTINGS
from slackwater.catchment.fields import Field
from slackwater.catchment.findings import Findings, did_you_mean
from slackwater.catchment.settings import Criterion, ScreenCriteria, Settings
from slackwater.catchment.settings_reading import SettingsReading
from slackwater.catchment.settings_tables import (
    read_criteria,
    read_ranges,
    read_renames,
    read_years,
)

TABLES_OF_SETTINGS = ("screen_criteria", "weights")
OTHER_TABLES = ("year_weights", "allocation", "criterion", "ranges", "columns", "encoding")
WEIGHTS = {"weights.risk": 0.6, "weights.overlap": 0.1, "weights.cost": 0.3}


@dataclass(frozen=True)
class SettingsIn:
    """Settings as understood, and what could not be.

    Attributes
    ----------
    settings : ``season_start_month`` is 0 where it is left to the offtakes' latitude.
    renames : table -> contract name -> agency's name.
    bad : dotted keys at fault.
    """

    settings: Settings
    renames: Mapping[str, Mapping[str, str]]
    reading: SettingsReading

    @property
    def bad(self) -> set[str]:
        """Dotted keys at fault."""
        return self.reading.bad


def read_settings(
    given: Mapping[str, Any], lines: Mapping[str, int], default_name: str, findings: Findings
) -> SettingsIn:
    """Understand the settings.

    Parameters
    ----------
    given : nested plain values, as TOML gives them.
    lines : dotted key -> line or row, where known.
    """
    reading = SettingsReading(given, lines, findings)
    for described in SETTINGS:
        _read_one(reading, described)
    _report_unknown(reading)
    criteria = read_criteria(reading)
    values = reading.values
    settings = Settings(
        name=values.get("name", default_name) or "catchment",
        name_given="name" in values,
        season_start_month=int(values.get("season_start_month", 0)),
        **{key: values.get(key, "") for key in ("crs", "currency", "time_zone")},
        max_gap_days=int(values["max_gap_days"]),
        metered_missing=values["metered_missing"],
        production_basis=values["production_basis"],
        area_exponent=values["area_exponent"],
        discount_rate=values["discount_rate"],
        horizon_years=values["horizon_years"],
        landholder_share=values["landholder_share"],
        snap_limit_m=values["snap_limit_m"],
        screen_criteria=_screen_criteria(values),
        weights=_weights(reading, criteria),
        criteria=criteria,
        year_weights=read_years(reading, "year_weights"),
        allocation=read_years(reading, "allocation"),
        ranges=read_ranges(reading),
    )
    return SettingsIn(settings, read_renames(reading), reading)


def _read_one(reading: SettingsReading, described: Field) -> None:
    """Read a setting with one value; its default where it is empty or at fault."""
    table, _, key = described.name.rpartition(".")
    within = reading.table(table) if table else reading.given
    value = reading.cell(described.name, described, within.get(key))
    if value is None:
        value = described.default
    if value is not None:
        reading.values[described.name] = value if isinstance(value, str) else float(value)


def _report_unknown(reading: SettingsReading) -> None:
    """Warn of unknown keys at the top, report them within a known table."""
    top = [each.name for each in SETTINGS if "." not in each.name]
    top += [*TABLES_OF_SETTINGS, *OTHER_TABLES]
    for key, value in reading.given.items():
        if key not in top:
            told = f"nothing is read from {key!r}{did_you_mean(key, top)}"
            reading.warn(key, "" if isinstance(value, Mapping) else value, "unknown_key", told)
    for table in TABLES_OF_SETTINGS:
        known = [each.name.split(".")[1] for each in SETTINGS if each.name.startswith(table + ".")]
        for key, value in reading.table(table).items():
            if key not in known:
                reading.unknown(f"{table}.{key}", value, known)


def _screen_criteria(values: Mapping[str, Any]) -> ScreenCriteria:
    set_values = {
        key.split(".")[1]: value
        for key, value in values.items()
        if key.startswith("screen_criteria.")
    }
    set_values.setdefault("approach_velocity_passive_ms", set_values.get("approach_velocity_ms"))
    return ScreenCriteria(**set_values)


def _weights(reading: SettingsReading, criteria: Sequence[Criterion]) -> tuple[float, float, float]:
    """Give the three weights: the usual ones without a table, else 0 where one is absent."""
    without = {} if "weights" in reading.given else WEIGHTS
    risk, overlap, cost = (float(reading.values.get(key, without.get(key, 0.0))) for key in WEIGHTS)
    in_doubt = any(key.startswith(("weights", "criterion")) for key in reading.bad)
    if risk + overlap + cost + sum(c.weight for c in criteria) == 0 and not in_doubt:
        reading.fault("weights", "", "weights_all_zero", "give at least one weight above 0")
    return risk, overlap, cost
