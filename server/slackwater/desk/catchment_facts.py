"""What is there to know of a catchment as a whole, before any of its sites?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from slackwater import MODEL_VERSION
from slackwater.desk.criteria_shown import criteria_told
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.fund_columns import budget_hint
from slackwater.desk.visibility import Viewer
from slackwater.desk.warnings_shown import may_read_warnings, warning_kinds, warnings_for
from slackwater.errors import Finding
from slackwater.river.adults import thirds


def catchment_facts(
    evaluation: Evaluation, warnings: Sequence[Finding], viewer: Viewer
) -> dict[str, Any]:
    """Give name, versions, years, criteria and settings that people see."""
    catchment, settings = evaluation.catchment, evaluation.catchment.settings
    dates, ranking = catchment.records.dates, evaluation.ranking
    years = catchment.records.years
    facts = {
        "name": catchment.name,
        "data_version": catchment.data_version,
        "model_version": MODEL_VERSION,
        "record_first": str(dates[0]),
        "record_last": str(dates[-1]),
        "years": years.tolist(),
        "thirds": {
            name: sorted(years[at].tolist()) for name, at in thirds(evaluation.river).items()
        },
        "season_start_month": settings.season_start_month,
        "currency": settings.currency,
        "counted": settings.production_basis == "counted",
        "horizon_years": settings.horizon_years,
        "discount_rate": settings.discount_rate,
        "landholder_share": settings.landholder_share,
        "weights": dict(zip(ranking.criteria, ranking.weights_thousandths.tolist(), strict=True)),
        "criteria": criteria_told(evaluation),
        "budget_hint": budget_hint(evaluation, viewer),
        "guilds": _guilds(evaluation),
        "offtakes": len(catchment.table("offtakes")),
        "warnings": len(warnings_for(warnings, viewer)),
    }
    if may_read_warnings(viewer):
        facts["warning_kinds"] = warning_kinds(warnings, viewer)
    return facts


def edition_facts(
    edition: str, revision: int | None, case: str, *, working: bool
) -> dict[str, Any]:
    """Give which edition of the data this is, and whether it may be worked on."""
    return {"working": working, "edition": edition, "revision": revision, "case": case or None}


def _guilds(evaluation: Evaluation) -> list[dict[str, str]]:
    guilds = evaluation.catchment.table("guilds")
    return [
        {"guild_id": guild_id, "name": name, "species": species}
        for guild_id, name, species in zip(
            guilds.keys,
            guilds.text("name").tolist(),
            guilds.text("species").tolist(),
            strict=True,
        )
    ]
