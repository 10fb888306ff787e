"""The tables of the fish: guilds and where their young start."""

from __future__ import annotations

from slackwater.catchment.contract.columns import (
    basis,
    day,
    key,
    number,
    positive,
    reference,
    share,
    source,
    text,
    whole,
)
from slackwater.catchment.fields import TableSpec

GUILDS = TableSpec(
    "guilds",
    "species sharing a life history",
    (
        key("guild_id", "the guild's id"),
        text("name", "name people use", needed=True),
        number("weight", "-", "what an adult of it counts", default=1.0),
        day("window_start", "spawning may begin"),
        day("window_full", "spawning season is full from"),
        day("window_easing", "spawning season is full until"),
        day("window_end", "spawning is over"),
        number("temp_min", "degC", "no spawning below", least=None),
        number("temp_full", "degC", "full spawning from", least=None),
        number("temp_easing", "degC", "full spawning until", least=None),
        number("temp_max", "degC", "no spawning above", least=None),
        number("flow_trigger", "-", "rise over the mean of 7 days that cues spawning", default=0.0),
        whole("trigger_days", "days", "days a cue lasts", default=0.0),
        share("flow_floor", "suitability without a cue", default=0.0),
        positive("full_season_days", "days", "suitable days that make a full season", needed=True),
        positive("drift_days", "days", "mean time adrift", needed=True),
        whole(
            "drift_stages", "-", "stages of the drift time (Erlang)", default=1.0, least=1, most=5
        ),
        number("mortality_per_day", "1/day", "death rate adrift", needed=True),
        positive("drift_speed_ratio", "-", "drift speed over water speed", default=1.0),
        number("encounter", "-", "taken per share of flow drawn; may exceed 1", default=1.0),
        share("night_drift_share", "share of the drift that passes at night"),
        number("outlet_value", "-", "worth of one still adrift at an outlet", needed=True),
        number("adult_per_settler", "adults", "adult equivalents a settler", needed=True),
        number("resident_per_ml", "fish/ML", "fish past drifting in the water drawn", default=0.0),
        number("adult_per_resident", "adults", "adult equivalents a resident", default=0.0),
        number("egg_mm", "mm", "egg diameter"),
        number("larva_mm", "mm", "larva length at hatch"),
        text("species", "species, by name"),
        source(),
    ),
    key=("guild_id",),
)

PRODUCTION = TableSpec(
    "production",
    "drifters that start in a reach in a full season",
    (
        reference("reach_id", "reaches.reach_id", "the reach"),
        reference("guild_id", "guilds.guild_id", "the guild"),
        number("production", "drifters", "drifters released in a full season", needed=True),
        number("nursery", "-", "worth of one that settles here", default_note="the reach's"),
        basis(),
        source(),
    ),
    key=("reach_id", "guild_id"),
)
