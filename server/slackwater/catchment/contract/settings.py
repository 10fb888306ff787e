"""The settings of a catchment, described as the tables are; dots name a key within a table."""

from __future__ import annotations

from slackwater.catchment.contract.columns import number, positive, share, text, whole, word
from slackwater.catchment.fields import Field

SETTINGS: tuple[Field, ...] = (
    text("name", "name of the catchment", default_note="the folder's or file's"),
    text("crs", "reference system of x,y columns and of layers that name none"),
    text("currency", "what money is in"),
    text("time_zone", "zone of the dates"),
    whole(
        "season_start_month",
        "month",
        "month the season-year starts",
        least=1,
        most=12,
        default_note="7 in the south, else 1",
    ),
    whole("max_gap_days", "days", "longest gap that is filled", default=10.0),
    number("area_exponent", "-", "exponent of the area ratio", default=1.0),
    word("metered_missing", ("use", "zero"), "what a missing metered day means", default="use"),
    word("production_basis", ("index", "counted"), "whether heads may be shown", default="index"),
    number("discount_rate", "1/year", "discount rate", default=0.07),
    positive("horizon_years", "years", "horizon of the life-cycle cost", default=20.0),
    share("landholder_share", "share of capital the landholder pays", default=0.0),
    number("snap_limit_m", "m", "furthest an offtake may lie from its reach", default=250.0),
    text("screen_criteria.name", "name of the criteria set"),
    positive("screen_criteria.approach_velocity_ms", "m/s", "largest approach velocity"),
    positive(
        "screen_criteria.approach_velocity_passive_ms",
        "m/s",
        "largest approach velocity where nothing cleans the screen",
        default_note="as approach_velocity_ms",
    ),
    number("screen_criteria.max_opening_mm", "mm", "largest opening"),
    number("screen_criteria.least_life_years", "years", "shortest life accepted", default=10.0),
    number("weights.risk", "-", "weight of entrainment risk", default_note="0.6 without a table"),
    number("weights.overlap", "-", "weight of season overlap", default_note="0.1 without a table"),
    number("weights.cost", "-", "weight of cost", default_note="0.3 without a table"),
)
"""Settings with one value. Beside them stand the tables by year (``year_weights``, above 0;
``allocation``, 0 to 1), ``criterion`` (rows), ``ranges``, ``columns`` and ``encoding``."""

RANGES = (
    "encounter",
    "drift_days",
    "production",
    "adult_per_settler",
    "draw",
    "night_use_share",
    "position",
    "cost",
    "depth_m",
)

CRITERION: tuple[Field, ...] = (
    text("column", "numeric column of offtakes", needed=True),
    number("weight", "-", "weight beside the others", needed=True),
    number("worst", "-", "value that counts 0", needed=True, least=None),
    number("best", "-", "value that counts 1", needed=True, least=None),
)
