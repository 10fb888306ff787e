"""What does the database say, as a catchment read from it?"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from slackwater.catchment.contract import TABLES
from slackwater.catchment.findings import Findings
from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.catchment.settings_reading import SettingsReading
from slackwater.catchment.settings_tables import further_columns
from slackwater.catchment.wording import plain_text
from slackwater.errors import Finding, InputFaults
from slackwater.store.records import SETTINGS, TOML, Given

CRS = "EPSG:4326"
"""Every place in the database is in it."""


@dataclass(frozen=True)
class StoredCatchment(RawCatchment):
    """A catchment as it stands in the database; ``settings_text`` is its settings as written."""

    settings_text: str = ""


def stored_catchment(
    tables: Mapping[str, RawTable], settings_text: str, default_name: str
) -> StoredCatchment:
    """Put a catchment together.

    Raises
    ------
    InputFaults
        Where the settings are no TOML.
    """
    settings = settings_of(settings_text)
    return StoredCatchment(default_name, settings, {}, tables, settings_text=settings_text)


def of_given(given: Given) -> StoredCatchment:
    """Give a catchment as it would stand once it was taken in."""
    return stored_catchment(given.tables, given.settings_text, given.default_name)


def settings_of(text: str) -> Mapping[str, Any]:
    """Give settings as nested plain values.

    Raises
    ------
    InputFaults
        Where they are no TOML.
    """
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        remedy = f"the settings are not TOML: {error}"
        fault = Finding(SETTINGS, None, "", TOML, "", "unreadable", remedy)
        raise InputFaults([fault]) from error


def further_of(raw: RawCatchment) -> set[str]:
    """Give the names of further columns of the offtakes: held already, or named by a criterion."""
    named = further_columns(SettingsReading(raw.settings, {}, Findings()))
    held = raw.tables["offtakes"].cells if "offtakes" in raw.tables else ()
    return {*named, *held} - set(TABLES["offtakes"].by_name)


def raw_table(
    name: str,
    rows: Sequence[int],
    cells: Mapping[str, Sequence[Any]],
    geometry: Sequence[Any] | None,
) -> RawTable:
    """Make a table of stored cells; without any place it has no geometry at all."""
    if geometry is not None and all(place is None for place in geometry):
        geometry = None
    columns = {column: tuple(values) for column, values in cells.items()}
    places = None if geometry is None else tuple(geometry)
    return RawTable(name, f"table {name}", tuple(rows), columns, places, CRS if places else "")


def keys_of(table: RawTable) -> list[str]:
    """Give each row's key as text; its number where the table has no key."""
    spec = TABLES[table.name]
    if not spec.key:
        return list(map(str, table.rows))
    parts = [map(plain_text, table.cells.get(name, ())) for name in spec.key]
    return list(map("/".join, zip(*parts, strict=True)))
