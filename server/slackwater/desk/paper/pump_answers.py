"""What a landholder asks first: does the pump still get its water, and who looks after it?"""

from __future__ import annotations

from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.desk.paper.site_facts import SiteFacts
from slackwater.reports.figures import (
    decimals,
    listed,
    long_date,
    money,
    tidy,
    tidy_percent,
)
from slackwater.reports.landholder_brief import DAYS_OFF, WHO_CARES, Answer

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip
CLEANING = {
    "none": "Nothing cleans it while it runs: it is brushed or raked by hand.",
    "manual": "It is cleaned by hand.",
    "brush": "A brush cleans it while it runs.",
    "water_jet": "Jets of water clean it while it runs.",
    "air": "Bursts of air clean it while it runs.",
}


def screen_terms(site: SiteFacts) -> tuple[tuple[str, str], ...]:
    """Give what goes on the intake, as far as it may be told."""
    screen = site.screen
    opening, life = site.of_option("opening_mm"), site.of_option("life_years")
    terms = (
        ("Effective area needed", _with(screen.get("area_m2"), 3, "m²")),
        ("Units", None if screen.get("units") is None else decimals(screen["units"])),
        ("Openings", _with(opening, 3, "mm")),
        ("Approach velocity", _with(screen.get("approach_ms"), 2, "m/s")),
        ("Slot velocity", _with(screen.get("slot_ms"), 2, "m/s")),
        ("Counted to last", _with(life, 2, "years")),
    )
    return tuple((term, value) for term, value in terms if value is not None)


def pump_answers(site: SiteFacts) -> tuple[Answer, ...]:
    """Answer what can be answered, and say what must be asked."""
    answers = [Answer("How many days off water?", (DAYS_OFF, *_quiet_months(site)))]
    if site.option >= 0:
        answers = [
            Answer("Does it still get its water?", (*_depth(site), *_head(site))),
            *answers,
            Answer("Who looks after it?", (*_care(site), WHO_CARES)),
        ]
    return tuple(answers)


def _depth(site: SiteFacts) -> tuple[str, ...]:
    """Set the least depth the screen needs against the depth there."""
    needs, depth = site.of_option("min_depth_m"), site.given("intake_depth_m")
    if needs is None:
        return ()
    wants = f"It needs at least {tidy(needs, 2)} m of water over the low season."
    if depth is None:
        return (
            f"{wants} How deep it is at this intake is not known: it is to be measured at low "
            "irrigation-season level before anything is ordered.",
        )
    spare = depth - needs
    left = f"{tidy(spare, 2)} m to spare" if spare >= 0 else f"{tidy(-spare, 2)} m too little"
    return (f"{wants} There is {tidy(depth, 2)} m {_known_depth(site)}: {left}.",)


def _known_depth(site: SiteFacts) -> str:
    """Say how the depth at the intake is known."""
    known = site.inputs["intake_depth_m"]
    if known["default_used"]:
        return "in its reach (taken from there, not measured at the intake)"
    on = f", {long_date(known['observed_on'])}" if known["observed_on"] else ""
    return f"at the intake ({known['basis'] or 'basis not stated'}{on})"


def _head(site: SiteFacts) -> tuple[str, ...]:
    """Say what head the screen takes, beside a metre and beside the pump's lift."""
    loss = site.of_option("head_loss_m")
    if loss is None:
        return ("The head it takes is not given: ask for it, clean and half blocked.",)
    lift = site.given("pump_head_m") if site.is_pump else None
    beside = (
        f", {tidy_percent(loss / lift)} of the {tidy(lift, 2)} m the pump lifts" if lift else ""
    )
    what = "suction lift" if site.is_pump else "level in the channel"
    return (
        f"Clean, it takes {tidy(loss, 2)} m of head: {tidy_percent(loss)} of a metre of {what}"
        f"{beside}. It takes more as it clogs.",
    )


def _quiet_months(site: SiteFacts) -> tuple[str, ...]:
    """Say in which months nothing is drawn, as the data has it."""
    use = [site.given(column) for column in USE_COLUMNS]
    if None in use:
        return ()
    quiet = [month for month, share in zip(MONTHS, use, strict=True) if share == 0]
    if not quiet:
        least = MONTHS[use.index(min(use))]
        return (f"As we have it, water is drawn in every month, least in {least}.",)
    return (f"As we have it, nothing is drawn in {listed(quiet)}: work could fall there.",)


def _care(site: SiteFacts) -> tuple[str, ...]:
    """Say how it is cleaned, whether it needs power, and what its upkeep comes to."""
    told = [CLEANING[site.of_option("cleaning") or "none"]]
    if site.of_option("needs_power") == "yes":
        there = site.given("power") == "yes"
        told.append(
            "It needs power, which is there."
            if there
            else "It needs power, which would have to be brought; that is in the cost."
        )
    share, upkeep = site.of_option("upkeep_share_year"), site.screen.get("upkeep_per_year")
    if upkeep is not None:
        told.append(
            f"Upkeep is counted at {tidy_percent(share)} of the cost a year, "
            f"{money(upkeep, site.case.currency)}, and in these figures it is yours to pay."
        )
    return (" ".join(told),)


def _with(value: float | None, digits: int, unit: str) -> str | None:
    return None if value is None else f"{tidy(value, digits)}\u00a0{unit}"
