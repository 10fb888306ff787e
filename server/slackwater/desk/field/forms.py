"""What is asked at a pump? Each field of the form, how to measure it, and what to be careful of."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slackwater.catchment.contract.offtakes import ACCESS, KINDS
from slackwater.units import FLOW_PER_M3S, LENGTH_PER_M


class Holds(StrEnum):
    """What a field holds."""

    NUMBER = "number"
    WORD = "word"
    OPTION = "option"
    TEXT = "text"
    PHOTO = "photo"


@dataclass(frozen=True)
class Form:
    """One field of the form at the pump.

    Attributes
    ----------
    units : a number's units to choose from, the usual one first; how many of each make one of SI.
    words : a word's, from which one is taken.
    column : of the offtakes, which a note of it may propose to change; "" for none.
    most : a number's upper bound in SI, inclusive; None for none.
    how, caution : a line each: how to measure it, and what to be careful of ("" for nothing).
    adds_up : notes of several people stand beside each other and never contradict.
    """

    field: str
    label: str
    holds: Holds
    how: str
    caution: str = ""
    units: dict[str, float] | None = None
    words: tuple[str, ...] = ()
    column: str = ""
    above_zero: bool = False
    most: float | None = None
    adds_up: bool = False


FROM_THE_BANK = (
    "Read it from the bank; a running intake draws in hands and clothes as well as fish."
)
LOCKED_OUT = "Only where the pump is stopped, isolated and locked out; else leave it blank."
DEPTHS = {unit: LENGTH_PER_M[unit] for unit in ("m", "cm", "ft")}

FORMS = (
    Form("plate_capacity", "Most it can draw, by its plate", Holds.NUMBER,
         "Copy the plate's flow in its own unit; no plate: leave it blank and take a photo.",
         FROM_THE_BANK, FLOW_PER_M3S, column="capacity_m3s", above_zero=True),
    Form("kind", "Kind of intake", Holds.WORD,
         "Suction on rails, fixed, on a float, or an open channel by gravity.",
         words=KINDS, column="kind"),
    Form("fitted", "Screen fitted today", Holds.OPTION,
         "None, or the option it is most like; a trash rack alone is none.",
         FROM_THE_BANK, column="fitted"),
    Form("opening_mm", "Openings it has today", Holds.NUMBER,
         "Narrowest way across an opening of the strainer or rack, by a gauge or rule.",
         LOCKED_OUT, {"mm": 1.0}, column="opening_mm"),
    Form("depth_today", "Water depth at the intake today", Holds.NUMBER,
         "Marked pole or weighted line from bank, jetty or pontoon; write the gauge too.",
         "Never wade or reach out for it; never alone at steep or undercut banks.", DEPTHS),
    Form("gauge_reading", "Gauge and its reading", Holds.TEXT,
         "Name of the nearest gauge and what it reads now, with its unit."),
    Form("depth_low", "Depth there at low irrigation-season level", Holds.NUMBER,
         "By marks of the low level, or as the irrigator says; which, in a remark.",
         "Never wade or reach out for it.", DEPTHS, column="intake_depth_m"),
    Form("position_words", "Where in the river it draws", Holds.WORD,
         "Where the water goes in: along the bank, in mid-water, or at the bed.",
         FROM_THE_BANK, words=("bank", "mid-water", "bed"), column="position"),
    Form("night_share", "Share of its draw by night", Holds.NUMBER,
         "Ask, or read off its timer: share of irrigation-season pumping from sunset to sunrise.",
         units={"%": 100.0}, column="night_use_share", most=1.0),
    Form("power", "Power at the intake", Holds.WORD,
         "Yes where mains or a fixed generator feeds the pump site.",
         "Look, do not open: covers and boxes are for licensed electricians.",
         words=("yes", "no"), column="power"),
    Form("access", "Access for machines when wet", Holds.WORD,
         "Could a truck with a crane come to the bank after rain? good, fair or poor.",
         "Keep vehicles back from soft and undercut banks.", words=ACCESS, column="access"),
    Form("running", "Running when you came", Holds.WORD,
         "Running, stopped, or locked out under a permit.",
         "A stopped pump may start by itself.", words=("running", "stopped", "locked out")),
    Form("consent", "Consent", Holds.WORD,
         "Ask whoever holds it: may you enter, would they talk about a screen?",
         "Without consent to enter, stay outside and note that you could not get in.",
         words=("yes", "no", "ask again"), column="willing"),
    Form("no_entry", "Could not get in", Holds.TEXT,
         "Why: gate, water, nobody there. That is a result too.", adds_up=True),
    Form("hazards", "Hazards", Holds.TEXT,
         "What the next visitor must know: undercut bank, dogs, lines overhead, bogged tracks.",
         adds_up=True),
    Form("remark", "Remark", Holds.TEXT, "Anything else, in your own words.", adds_up=True),
    Form("photo", "Photo", Holds.PHOTO,
         "Plate, intake and bank; faces and number plates out of the picture.",
         FROM_THE_BANK, adds_up=True),
)  # fmt: skip

FORM_OF = {form.field: form for form in FORMS}
CONSENT_MEANS = {"yes": "yes", "no": "no", "ask again": "unknown"}
"""What a word of consent proposes for ``willing``."""
