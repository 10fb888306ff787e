"""The certificate of a best set: all that is needed to find out, elsewhere, that it is right.

It names the set and its numbers, and what its bound rests on: the cost of every choice that could
be made, and for each order of installs the sets it passed through and the weights it gave. Each
guild and season-year says what it stands for, so that a number that went missing is named.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater import MODEL_VERSION
from slackwater.catchment.catchment import Catchment
from slackwater.decisions.gains import FITTED, Cut
from slackwater.decisions.rules import Choice, Conditions
from slackwater.desk.best_funding import FundingAnswer
from slackwater.desk.evaluation import Evaluation
from slackwater.errors import UsageError
from slackwater.river.adults import year_weights
from slackwater.river.seasons import BEFORE_ANY_RELEASE
from slackwater.verify.verdict import Verdict
from slackwater.verify.verify import verify

Numbers = NDArray[np.float64]


def certificate_values(evaluation: Evaluation, answer: FundingAnswer) -> dict[str, Any]:
    """Give the content of a certificate, full precision; ids, money, adults a year."""
    found, best = answer.certificate, answer.best
    costs = np.zeros(evaluation.sizing.feasible.shape)
    for choice in found.choices:
        costs[choice.site, choice.option] = choice.cost
    return {
        "data_version": evaluation.catchment.data_version,
        "model_version": MODEL_VERSION,
        "budget": answer.budget,
        "conditions": _conditions(answer.conditions),
        "chosen": [
            {"offtake_id": offtake_id, "option_id": option_id, "cost": cost}
            for offtake_id, option_id, cost in best.chosen
        ],
        "spent": best.spent,
        "benefit_adults": best.benefit_adults,
        "upper_bound_adults": found.upper_bound,
        "gap": found.gap,
        "seasons": _seasons(evaluation, found.picks),
        "choices": _by_choice(evaluation.catchment, found.choices, costs),
        "cuts": [_cut(evaluation.catchment, found.choices, cut) for cut in found.cuts],
    }


def _conditions(conditions: Conditions) -> dict[str, Any]:
    return {
        "kept_in": dict(conditions.kept_in),
        "left_out": dict(conditions.left_out),
        "district_least": dict(conditions.district_least),
        "district_most": dict(conditions.district_most),
        "most_installs": conditions.most_installs,
        "together": [list(group) for group in conditions.together],
    }


def _cut(catchment: Catchment, choices: tuple[Choice, ...], cut: Cut) -> dict[str, Any]:
    """Give one order: the sets it passes through (none: today's screens), constant, weights."""
    offtakes, options = catchment.table("offtakes").keys, catchment.table("options").keys
    return {
        "order": [
            {offtakes[p]: options[row[p]] for p in np.flatnonzero(row != FITTED)}
            for row in cut.order
        ],
        "constant": cut.constant,
        "weights": _by_choice(catchment, choices, cut.weights),
    }


def _by_choice(
    catchment: Catchment, choices: tuple[Choice, ...], values: Numbers
) -> dict[str, dict[str, float]]:
    """Give a value (offtakes, options) of each choice as offtake id -> option id -> value."""
    offtakes, options = catchment.table("offtakes").keys, catchment.table("options").keys
    listed: dict[str, dict[str, float]] = {}
    for c in choices:
        listed.setdefault(offtakes[c.site], {})[options[c.option]] = float(values[c.site, c.option])
    return listed


def _seasons(evaluation: Evaluation, picks: Mapping[int, int]) -> list[dict[str, Any]]:
    """Say what each guild and season-year stands for, and what the set gains there."""
    river, catchment = evaluation.river, evaluation.catchment
    shares = year_weights(catchment)
    gained = _gained(evaluation, picks)
    return [
        {
            "guild_id": catchment.table("guilds").keys[season.guild],
            "year": int(catchment.records.years[season.year]),
            "year_share": float(shares[season.year]),
            "adults_per_settler": float(evaluation.worth.adults_per_settler[season.guild]),
            "cohorts": int((season.blocks > BEFORE_ANY_RELEASE).sum()),
            "produced": float(
                river.births[season.guild] @ season.day_share.sum(axis=1)[river.pace.gauge]
            ),
            "benefit_adults": float(gained[season.guild, season.year]),
        }
        for season in river.seasons
    ]


def _gained(evaluation: Evaluation, picks: Mapping[int, int]) -> Numbers:
    """(guilds, years) adults the set gains over today, residents included."""
    efficacy, worth = evaluation.efficacy, evaluation.worth
    screens = efficacy.fitted.copy()
    screens[list(picks)] = list(picks.values())
    both = np.array([efficacy.of_drifters(s) for s in (efficacy.fitted, screens)])
    drifters = np.diff(evaluation.river.worth(both), axis=0)[0]
    residents = efficacy.of_residents(screens) - efficacy.of_residents(efficacy.fitted)
    gained: Numbers = worth.adults_per_settler[:, None] * drifters + np.einsum(
        "gyi,gi->gy", worth.residents_adults, residents
    )
    return gained


def verify_certificate(file: Path, catchment: Catchment) -> Verdict:
    """Recompute a certificate from the catchment.

    Raises
    ------
    UsageError
        Where the file is no certificate.
    """
    try:
        certificate = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as wrong:
        raise UsageError(f"{file.name} cannot be read as a certificate: {wrong}") from None
    if not isinstance(certificate, dict):
        raise UsageError(f"{file.name} is no certificate")
    return verify(catchment, certificate)


def verdict_text(verdict: Verdict) -> str:
    """Give a verdict as text for a person."""
    if verdict.holds:
        return (
            "The certificate holds: set, costs and gains were found again from the data by other "
            "arithmetic, and no set under the same rules gains more than its bound."
        )
    lines = [f"The certificate does not hold: {len(verdict.disagreements)} disagreement(s)."]
    return "\n".join([*lines, *map(str, verdict.disagreements)])
