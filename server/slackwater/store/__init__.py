"""The working database: a SQLite file, or PostgreSQL with PostGIS; one schema for both."""

from __future__ import annotations

from slackwater.store.changing import with_changes
from slackwater.store.differences import difference_from_nothing
from slackwater.store.editing import Check
from slackwater.store.opening import is_there, migrate_database, open_register
from slackwater.store.records import (
    GEOMETRY,
    SETTINGS,
    TOML,
    Case,
    Change,
    Difference,
    Done,
    Edit,
    Given,
    OfferStep,
    Past,
    Relief,
    Standing,
)
from slackwater.store.register import Register
from slackwater.store.restoring import restore
from slackwater.store.stored import StoredCatchment, of_given, settings_of
from slackwater.store.values import stored_cell, told_change, told_value

__all__ = [
    "GEOMETRY", "SETTINGS", "TOML", "Case", "Change", "Check", "Difference", "Done", "Edit",
    "Given", "OfferStep", "Past", "Register", "Relief", "Standing", "StoredCatchment",
    "difference_from_nothing", "is_there", "migrate_database", "of_given", "open_register",
    "restore", "settings_of", "stored_cell", "told_change", "told_value", "with_changes",
]  # fmt: skip
