"""The data contract, written once: every table, column and setting with unit and meaning."""

from __future__ import annotations

from slackwater.catchment.contract.fish import GUILDS, PRODUCTION
from slackwater.catchment.contract.offtakes import METERED, OFFTAKES
from slackwater.catchment.contract.rivers import DAILY, GAUGES, REACHES, SPLITS, WEIRS
from slackwater.catchment.contract.screens import EFFICACY, OPTIONS, PRICES
from slackwater.catchment.contract.settings import CRITERION, RANGES, SETTINGS
from slackwater.catchment.contract.surroundings import DEPOTS, LAND, PLACES, ROADS
from slackwater.catchment.fields import TableSpec

TABLES: dict[str, TableSpec] = {
    spec.name: spec
    for spec in (
        REACHES, SPLITS, WEIRS, GAUGES, DAILY, GUILDS, PRODUCTION, OFFTAKES, METERED,
        OPTIONS, EFFICACY, PRICES, PLACES, ROADS, DEPOTS, LAND,
    )
}  # fmt: skip

__all__ = ["CRITERION", "RANGES", "SETTINGS", "TABLES"]
