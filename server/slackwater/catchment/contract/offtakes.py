"""The tables of the taking: offtakes and their metered draw."""

from __future__ import annotations

from slackwater.catchment.contract.columns import (
    YES_NO,
    basis,
    date,
    key,
    number,
    positive,
    reference,
    share,
    source,
    text,
    word,
)
from slackwater.catchment.fields import Field, Kind, Shape, TableSpec, Visibility

KINDS = ("rail_suction", "fixed_suction", "floating_suction", "gravity_channel")
ACCESS = ("good", "fair", "poor")
STATUS = ("candidate", "offered", "accepted", "built", "declined")
PRIVATE, AGENCY = Visibility.PRIVATE, Visibility.AGENCY

USE_COLUMNS = tuple(f"use_{month:02d}" for month in range(1, 13))


def _use(name: str) -> Field:
    return share(
        name,
        f"share of capacity over month {name[-2:]}",
        default_note="0 where other months are filled, else the mean of its kind",
        visibility=AGENCY,
    )


OFFTAKES = TableSpec(
    "offtakes",
    "places where water is taken, by pump or gravity channel",
    (
        key("offtake_id", "public code, the only name shown outside the agency"),
        text("label", "public label"),
        text("landholder", "who holds it", visibility=PRIVATE),
        Field("licence", kind=Kind.ID, meaning="licence number", visibility=PRIVATE),
        text("contact", "who to ring", visibility=PRIVATE),
        Field(
            "reach_id",
            kind=Kind.ID,
            meaning="reach it draws from",
            refers_to="reaches.reach_id",
            default_note="nearest reach",
        ),
        number(
            "chainage_m",
            "m",
            "distance from the reach's upper end",
            default_note="snapped",
            visibility=PRIVATE,
        ),
        word("kind", KINDS, "kind of intake", needed=True),
        positive("capacity_m3s", "m3/s", "largest draw", needed=True, visibility=AGENCY),
        *(_use(name) for name in USE_COLUMNS),
        number("cease_flow_m3s", "m3/s", "river flow below which it must stop", default=0.0),
        share(
            "night_use_share",
            "share of its draw at night",
            default_note="the night's length",
            visibility=AGENCY,
        ),
        number("position", "-", "encounter at this intake over the river's mean", default=1.0),
        number(
            "intake_depth_m",
            "m",
            "water depth there at low irrigation-season level",
            default_note="its reach's depth_m, where that is given",
        ),
        number("opening_mm", "mm", "openings it has today"),
        Field(
            "fitted",
            kind=Kind.ID,
            meaning="screen option fitted today",
            default="none",
            refers_to="options.option_id",
        ),
        word("power", YES_NO, "power at the intake", default="no"),
        word("access", ACCESS, "access for machines", default="fair"),
        text("district", "district it is counted in"),
        word(
            "willing",
            ("yes", "no", "unknown"),
            "landholder willing to be funded",
            default="unknown",
            visibility=AGENCY,
        ),
        positive("quote", "money", "quoted capital", visibility=PRIVATE),
        Field(
            "quote_option",
            kind=Kind.ID,
            meaning="option the quote is for",
            refers_to="options.option_id",
            visibility=AGENCY,
        ),
        word("status", STATUS, "where the offer stands", default="candidate"),
        number("flushes_per_day", "1/day", "filter back-flushes", visibility=AGENCY),
        number("flush_minutes", "min", "length of a back-flush", visibility=AGENCY),
        number("flush_litres", "L", "water a back-flush uses", visibility=AGENCY),
        number("filter_cleaning_hours_month", "h/month", "hand cleaning", visibility=AGENCY),
        number("pumping_months", "months", "months pumped a year", most=12.0, visibility=AGENCY),
        number("pump_head_m", "m", "head the pump lifts", visibility=AGENCY),
        share("pump_efficiency", "pump and motor", above_zero=True, visibility=AGENCY),
        number("wear_cost_year", "money/year", "wear put down to debris", visibility=AGENCY),
        basis(),
        date("observed_on", "when it was seen"),
        source(),
    ),
    key=("offtake_id",),
    shape=Shape.POINT,
    geometry_visibility=PRIVATE,
)

METERED = TableSpec(
    "metered",
    "metered daily draw",
    (
        reference("offtake_id", "offtakes.offtake_id", "the offtake"),
        date("date", "the day", needed=True),
        number("draw_m3s", "m3/s", "daily mean draw", needed=True, visibility=PRIVATE),
    ),
    key=("offtake_id", "date"),
    needed=False,
)
