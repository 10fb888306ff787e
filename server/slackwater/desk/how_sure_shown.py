"""How sure a set is, as the page gets it: plain values by row of the offtakes table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from slackwater.decisions.close_calls import CloseCall
from slackwater.decisions.entry import Entry
from slackwater.desk.brings_in import entry_sentence
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.how_sure import HowSure


def how_sure_values(sure: HowSure) -> dict[str, Any]:
    """Give trials, weightings, spread and what to measure; shares are of the loss to pumps."""
    return {
        "trials": sure.trials,
        "inside": sure.inside.tolist(),
        "none_possible": sure.none_possible,
        "weightings": sure.weightings,
        "funded": sure.funded.tolist(),
        "assumed": list(sure.assumed),
        "benefit": asdict(sure.benefit),
        "by_year": [{"year": year, "benefit_share": share} for year, share in sure.by_year],
        "sensitivity": [
            {
                "input": each.input,
                "guild": each.guild_id,
                "low_share": each.low_share,
                "high_share": each.high_share,
            }
            for each in sure.sensitivity
        ],
        "measure": [
            {
                "row": each.site,
                "input": each.input,
                "worth_adults": each.worth_adults,
                "assumed": each.assumed,
            }
            for each in sure.measure
        ],
    }


def entry_values(evaluation: Evaluation, entry: Entry) -> dict[str, Any]:
    """Give what would bring a site in or out, with one sentence."""
    options, settings = evaluation.catchment.table("options"), evaluation.catchment.settings
    name = str(options.text("name")[entry.option]) if entry.option >= 0 else ""
    return {
        "row": entry.site,
        "inside": entry.inside,
        "option": entry.option,
        "cost_now": entry.cost_now,
        "least_budget": entry.least_budget,
        "highest_cost": entry.highest_cost,
        "sentence": entry_sentence(entry, name, settings.currency),
    }


def close_call_values(calls: Sequence[CloseCall]) -> list[dict[str, Any]]:
    """Give each close call with why it is one."""
    return [{"row": call.site, "because": call.because} for call in calls]
