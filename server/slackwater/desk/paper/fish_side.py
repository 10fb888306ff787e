"""Which fish does one offtake take, how many, and what would a screen keep alive?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from slackwater.desk.paper.site_facts import SiteFacts
from slackwater.desk.visibility import of_contract, sees
from slackwater.reports.figures import NOTHING, figures, ordinal, percent
from slackwater.reports.landholder_brief import FishRow

LOW_HIGH = ("low", "high")


def fish_side(site: SiteFacts) -> tuple[tuple[str, ...], tuple[FishRow, ...], tuple[str, ...]]:
    """Give columns, a row a guild, and sentences."""
    guilds = site.why["loss"].get("by_guild", [])
    counted = site.case.counted
    columns = ["share of all that pumps take of it"]
    if counted:
        columns = ["eggs and larvae taken a year", "adult equivalents a year", *columns]
    if site.option >= 0:
        columns.append("a screen keeps alive in the river")
    rows = tuple(FishRow(_name(site, guild), _numbers(site, guild)) for guild in guilds)
    return tuple(columns), rows, _sentences(site)


def _numbers(site: SiteFacts, guild: Mapping[str, Any]) -> tuple[str, ...]:
    numbers = [percent(guild.get("loss_share"))]
    if site.case.counted:
        adults = guild.get("loss_adults")
        taken = figures(guild.get("taken_heads"), 2)
        numbers = [taken, _with_range(site, adults), *numbers]
    if site.option >= 0:
        numbers.append(_kept_alive(site, guild["guild_id"]))
    return tuple(numbers)


def _name(site: SiteFacts, guild: Mapping[str, Any]) -> str:
    """Give a guild's name with its species."""
    guilds = site.case.evaluation.catchment.table("guilds")
    species = str(guilds.text("species")[guilds.index[guild["guild_id"]]])
    name: str = guild["name"]
    return f"{name} · {species}" if species and species.lower() != name.lower() else name


def _kept_alive(site: SiteFacts, guild_id: str) -> str:
    """Give the share of drifters that the screen keeps alive, with its range where it has one."""
    catchment = site.case.evaluation.catchment
    table, option_id = catchment.table("efficacy"), catchment.table("options").keys[site.option]
    row = table.index.get(f"{option_id}/{guild_id}")
    if row is None or not sees(site.viewer, of_contract("efficacy", "drifter")):
        return NOTHING
    kept = percent(float(table.number("drifter")[row]))
    low, high = (float(table.number(end)[row]) for end in LOW_HIGH)
    if np.isnan(low) or np.isnan(high):
        return f"{kept}, range not given"
    return f"{kept} ({figures(100 * low, 2)} to {figures(100 * high, 2)})"


def _with_range(site: SiteFacts, adults: float | None) -> str:
    """Give adult equivalents with the range of the whole loss."""
    if adults is None:
        return NOTHING
    low, high = _multiples(site)
    return f"{figures(adults, 2)} ({figures(adults * low, 2)} to {figures(adults * high, 2)})"


def _multiples(site: SiteFacts) -> tuple[float, float]:
    """Give the ends of the loss's range as multiples of it."""
    loss = site.why["loss"]
    if not loss.get("adults"):
        return 1.0, 1.0
    return loss["low"] / loss["adults"], loss["high"] / loss["adults"]


def _sentences(site: SiteFacts) -> tuple[str, ...]:
    loss, row = site.why["loss"], site.row
    share = percent(site.why["sentence_facts"]["loss_share"])
    told = [
        f"Together it makes {share} of the loss to pumps in this catchment; it ranks "
        f"{ordinal(row.rank)} of {site.why['of']:,}."
    ]
    gain = site.screen.get("gain_share")
    if gain is not None:
        told.append(f"On its own, a screen here would avoid {percent(gain)} of that loss.")
    low, high = _multiples(site)
    assumed = ", an assumed range" if loss.get("assumed_range") else ""
    if not site.case.counted:
        told.append(
            "Fish are not counted in this catchment: production is an index, so shares are told "
            "and no numbers."
        )
    told.append(f"The loss may be {figures(low, 2)} to {figures(high, 2)} times as large{assumed}.")
    return tuple(told)
