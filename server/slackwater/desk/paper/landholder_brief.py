"""The brief for one landholder, in a private and a public version."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fish_side import fish_side
from slackwater.desk.paper.ground_shown import reach_name
from slackwater.desk.paper.money_side import money_side
from slackwater.desk.paper.pump_answers import pump_answers, screen_terms
from slackwater.desk.paper.site_facts import KINDS, SiteFacts
from slackwater.desk.visibility import Viewer
from slackwater.reports.figures import (
    NOTHING,
    inside_a_sentence,
    listed,
    money,
    short_date,
    tidy,
    tidy_percent,
)
from slackwater.reports.landholder_brief import (
    LandholderBrief,
    UsedFact,
    landholder_brief_html,
)
from slackwater.units import flow_in

USED = {
    "kind": "Kind of intake",
    "reach_id": "Where it draws from",
    "district": "District it is counted in",
    "capacity_m3s": "Most it can draw",
    "cease_flow_m3s": "River flow below which it must stop",
    "intake_depth_m": "Water depth there at low season",
    "opening_mm": "Openings it has today",
    "fitted": "Screen fitted today",
    "power": "Power at the intake",
    "access": "Access for machines",
    "pump_head_m": "Head the pump lifts",
    "pump_efficiency": "Efficiency of pump and motor",
    "pumping_months": "Months pumped a year",
    "flushes_per_day": "Filter back-flushes a day",
    "flush_minutes": "Minutes a back-flush takes",
    "flush_litres": "Litres a back-flush uses",
    "filter_cleaning_hours_month": "Hours of hand cleaning a month",
    "wear_cost_year": "Wear from debris, a year",
    "night_use_share": "Share of its draw at night",
}
"""Facts a landholder can put right, in a landholder's words."""
SAID_BY_LABEL = ("months", "1/day", "min", "L", "h/month", "money/year", "-")
"""Units that a label says already."""


def print_landholder_brief(case: CaseShown, code: str, viewer: Viewer, printed_at: datetime) -> str:
    """Give the brief as HTML.

    Raises
    ------
    NotHere
        Where the case has no such offtake.
    """
    return landholder_brief_html(landholder_facts(case, code, viewer, printed_at))


def landholder_facts(
    case: CaseShown, code: str, viewer: Viewer, printed_at: datetime
) -> LandholderBrief:
    """Gather what stands in the brief, as far as the viewer may see it."""
    site = SiteFacts(case, case.row(code), viewer)
    money_terms, money_sentences = money_side(site)
    fish_columns, fish, fish_sentences = fish_side(site)
    return LandholderBrief(
        stamp=case.stamp(printed_at, viewer),
        code=code,
        about=_about(site),
        addressed_to=tuple(
            str(site.given(column)) for column in ("landholder",) if site.given(column)
        ),
        is_pump=site.is_pump,
        opening=_opening(site),
        no_screen=() if site.screen else _why_none(site),
        screen_name=site.option_name,
        screen=screen_terms(site),
        answers=pump_answers(site),
        money=money_terms,
        money_sentences=money_sentences,
        fish_columns=fish_columns,
        fish=fish,
        fish_sentences=fish_sentences,
        used=tuple(_used(site, site.inputs[column]) for column in USED if column in site.inputs),
    )


def _about(site: SiteFacts) -> str:
    """Say which offtake this is."""
    label, kind = site.given("label"), KINDS.get(site.given("kind"), "")
    reach = reach_name(site.case.evaluation, site.row.position, site.viewer)
    where = f" on {reach}" if reach else ""
    named = f"{label}, " if label else ""
    licence = f" Licence {site.given('licence')}." if site.given("licence") else ""
    return f"{site.row.code}: {named}{kind}{where}.{licence}"


def _opening(site: SiteFacts) -> str:
    """Say where the offtake stands in this case."""
    row, currency = site.row, site.case.currency
    if row.state == "not_in_round":
        told = site.viewer is not Viewer.PUBLIC and row.why_not
        return f"Not in this round: {row.why_not}." if told else "Not in this round."
    if not row.inside:
        return "Outside the money in this case; what a screen here would mean is told below."
    screen = inside_a_sentence(site.option_name)
    side = site.screen.get("landholder")
    if side is None or row.cost is None:
        return f"Inside the money in this case, with {screen}."
    return (
        f"The fund would pay {money(row.cost, currency)} and you {money(side['pays_once'])} once, "
        f"and its upkeep: {screen}."
    )


def _why_none(site: SiteFacts) -> tuple[str, ...]:
    """Say what stands against each screen, to those who may know."""
    return tuple(
        f"{each['name']}: {listed(each['obstacles'])}."
        for each in site.why["screens"]
        if each.get("obstacles")
    )


def _used(site: SiteFacts, fact: Mapping[str, Any]) -> UsedFact:
    """Give one fact in the words and the unit of a landholder."""
    if fact["value"] is None:
        return UsedFact(USED[fact["column"]], NOTHING, "not given")
    on = f", {short_date(fact['observed_on'])}" if fact["observed_on"] else ""
    basis = fact["basis"] or "basis not stated"
    return UsedFact(USED[fact["column"]], _value(site, fact), basis + on)


def _value(site: SiteFacts, fact: Mapping[str, Any]) -> str:
    value, column = fact["value"], fact["column"]
    if not isinstance(value, str):
        return _measured(site, value, fact["unit"])
    evaluation = site.case.evaluation
    options = evaluation.catchment.table("options")
    if column == "reach_id":
        return reach_name(evaluation, site.row.position, site.viewer) or value
    if column == "fitted" and value in options.index:
        return str(options.text("name")[options.index[value]])
    return KINDS.get(value, value)


def _measured(site: SiteFacts, value: float, unit: str) -> str:
    """Give a number in the unit of the case, or of its label."""
    if unit == "m3/s":
        chosen = site.case.trial["unit"]
        return f"{tidy(flow_in(value, chosen), 3)}\u00a0{chosen}"
    if unit.startswith("money"):
        return money(value, site.case.currency)
    if unit == "share":
        return tidy_percent(value)
    return tidy(value, 3) + (f"\u00a0{unit}" if unit and unit not in SAID_BY_LABEL else "")
