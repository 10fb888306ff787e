"""The tables of the remedy: screen options, what they keep alive, what things cost."""

from __future__ import annotations

from slackwater.catchment.contract.columns import (
    YES_NO,
    key,
    number,
    positive,
    reference,
    share,
    source,
    text,
    word,
)
from slackwater.catchment.contract.offtakes import KINDS
from slackwater.catchment.fields import Field, Kind, TableSpec

OPTIONS = TableSpec(
    "options",
    "screens that can be bought",
    (
        key("option_id", "the option's id"),
        text("name", "generic name, no brand", needed=True),
        positive("approach_velocity_ms", "m/s", "design approach velocity", needed=True),
        number("opening_mm", "mm", "slot or hole", needed=True),
        share("open_share", "open area over screen area", needed=True),
        word(
            "cleaning",
            ("none", "brush", "water_jet", "air", "manual"),
            "how it stays clean",
            default="none",
        ),
        word("needs_power", YES_NO, "whether it needs power", default="no"),
        number("min_depth_m", "m", "least water depth", default=0.0),
        positive("unit_area_m2", "m2", "effective area of a unit, less members", needed=True),
        positive("unit_price", "money", "price of a unit", needed=True),
        number("unit_price_low", "money", "least it may be"),
        number("unit_price_high", "money", "most it may be"),
        share("upkeep_share_year", "upkeep a year over capital", default=0.02),
        positive("life_years", "years", "years it lasts", default=20.0),
        number("head_loss_m", "m", "energy lost across it"),
        share("filter_cut_share", "share of filter work it saves"),
        Field("kinds", Kind.WORDS, "kinds of intake it fits; empty means all", words=KINDS),
        source(),
    ),
    key=("option_id",),
)

EFFICACY = TableSpec(
    "efficacy",
    "share of those that would have been taken which remain alive in the river",
    (
        reference("option_id", "options.option_id", "the option"),
        reference("guild_id", "guilds.guild_id", "the guild"),
        share("drifter", "share of drifters kept alive", needed=True),
        share("resident", "share of residents kept alive", default_note="as drifter"),
        share("low", "least the drifter share may be"),
        share("high", "most the drifter share may be"),
        number("at_approach_ms", "m/s", "approach velocity it was tested at"),
        source(),
    ),
    key=("option_id", "guild_id"),
)

ITEMS = (
    "mount",
    "access",
    "power",
    "mobilisation",
    "design",
    "contingency",
    "energy_kwh",
    "labour_hour",
    "water_ml",
)

PRICES = TableSpec(
    "prices",
    "what things cost",
    (
        word("item", ITEMS, "what is priced", needed=True),
        text("kind", "offtake kind for mount; good, fair, poor for access; else empty"),
        number(
            "amount", "money or share", "price; a share for design and contingency", needed=True
        ),
        number("low", "money or share", "least it may be"),
        number("high", "money or share", "most it may be"),
        source(),
    ),
    key=("item", "kind"),
)
