"""The tables of the water: reaches, splits, weirs, gauges and their daily record."""

from __future__ import annotations

from slackwater.catchment.contract.columns import (
    date,
    key,
    number,
    positive,
    reference,
    share,
    source,
    text,
)
from slackwater.catchment.fields import Shape, TableSpec

REACHES = TableSpec(
    "reaches",
    "stretches of channel between two nodes, lines running downstream",
    (
        key("reach_id", "the reach's id"),
        reference("to_reach", "reaches.reach_id", "next reach; empty at an outlet", needed=False),
        text("name", "name people use"),
        number("length_m", "m", "length along the channel", default_note="geodesic length"),
        reference("gauge_id", "gauges.gauge_id", "gauge whose flow it follows"),
        positive("flow_scale", "-", "its flow over the gauge's", default_note="area ratio"),
        positive("area_km2", "km2", "land draining to it"),
        positive("velocity_coef", "-", "a in v = a Q^b (m/s, m3/s)", default_note="Manning"),
        number("velocity_exp", "-", "b in v = a Q^b", default=0.34),
        positive("width_m", "m", "channel width"),
        positive("slope", "m/m", "channel slope"),
        positive("manning_n", "s/m^(1/3)", "Manning roughness", default=0.035),
        number("depth_m", "m", "water depth at low irrigation-season level"),
        number("nursery", "-", "worth of a drifter that settles here", default=1.0),
    ),
    key=("reach_id",),
    shape=Shape.LINE,
)

SPLITS = TableSpec(
    "splits",
    "where a reach drains to several (anabranch, effluent channel)",
    (
        reference("from_reach", "reaches.reach_id", "the reach that divides"),
        reference("to_reach", "reaches.reach_id", "an arm below it"),
        share("share", "share of the drifters that takes this arm", needed=True),
    ),
    key=("from_reach", "to_reach"),
    needed=False,
)

WEIRS = TableSpec(
    "weirs",
    "weirs and regulators at the lower end of a reach",
    (
        reference("reach_id", "reaches.reach_id", "reach at whose lower end it stands"),
        text("name", "name people use"),
        reference("guild_id", "guilds.guild_id", "guild; empty means all", needed=False),
        share("survival", "share that passes alive", needed=True),
        source(),
    ),
    needed=False,
)

GAUGES = TableSpec(
    "gauges",
    "where flow is measured",
    (
        key("gauge_id", "the gauge's id"),
        text("name", "name people use"),
        positive("area_km2", "km2", "land draining to it"),
    ),
    key=("gauge_id",),
    shape=Shape.POINT,
)

DAILY = TableSpec(
    "daily",
    "daily mean flow and water temperature",
    (
        reference("gauge_id", "gauges.gauge_id", "the gauge"),
        date("date", "the day", needed=True),
        number("flow_m3s", "m3/s", "daily mean flow"),
        number("water_temp_c", "degC", "daily mean water temperature", least=None),
    ),
    key=("gauge_id", "date"),
)
