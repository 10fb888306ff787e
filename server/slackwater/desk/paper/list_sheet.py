"""Every offtake of a case on one sheet: rank, score and its parts, state, screen, money, gain."""

from __future__ import annotations

from typing import Any

from slackwater.decisions.options import NONE
from slackwater.decisions.score import MILLION
from slackwater.desk.criteria_shown import criteria_told
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.offers_said import offer_said
from slackwater.reports.result_workbook import Sheet
from slackwater.reports.signs import WORDS

OF_TABLE = ("label", "kind", "district", "status", "willing", "capacity_m3s", "landholder",
            "licence", "contact")  # fmt: skip

Labels = tuple[tuple[str, str], ...]
"""Name and label of each criterion."""


def list_sheet(case: CaseShown) -> Sheet:
    """Give the list in order of rank, numbers in full precision."""
    labels = tuple((each["name"], each["label"]) for each in criteria_told(case.evaluation))
    rows = [_cells(case, row, labels) for row in case.rows]
    heads = tuple(rows[0]) if rows else ("rank",)
    return Sheet("list", heads, [tuple(row.values()) for row in rows])


def _cells(case: CaseShown, row: CaseRow, labels: Labels) -> dict[str, Any]:
    money = f"({case.currency or 'money'})"
    evaluation = case.evaluation
    cells: dict[str, Any] = {
        "rank": row.rank,
        "code": row.code,
        "score (0 to 1)": row.score,
        **_parts(case, row, labels),
        "state": WORDS[row.sign],
        "why not in this round": row.why_not or None,
        "by hand": row.by_hand.replace("_", " ") or None,
        "reason": " ".join(filter(None, (offer_said(row), row.reason))) or None,
        "close call": "yes" if row.close_call else None,
        "screen": case.option_name(row.option) or None,
        f"cost to the fund {money}": row.cost,
        f"committed by the offer {money}": row.committed,
        f"committed less counted {money}": _apart(row),
        **_money(case, row, money),
        "gain (share of the loss)": row.gain_share,
        "gain (adult equivalents/year)": row.gain_share * case.loss_adults,
        "loss (share of all)": row.loss_share,
        "loss (adult equivalents/year)": float(evaluation.loss_adults[row.position]),
        "draw in a mean year (ML)": float(evaluation.volume_ml[row.position]),
    }
    return {**cells, **_of_table(case, row)}


def _apart(row: CaseRow) -> float | None:
    """Give how far the committed sum stands above the cost that is counted, inside the set."""
    if row.committed is None or row.cost is None or not row.inside:
        return None
    return row.committed - row.cost


def _parts(case: CaseShown, row: CaseRow, labels: Labels) -> dict[str, float]:
    """Give each criterion's value and what it adds to the score."""
    ranking = case.evaluation.ranking
    parts: dict[str, float] = {}
    for at, (name, label) in enumerate(labels):
        value = int(ranking.values_millionths[at, row.position]) / MILLION
        weight = case.trial["weights"][name] / 1000
        parts[f"{label} (0 to 1)"] = value
        parts[f"{label}: points"] = value * weight
    return parts


def _money(case: CaseShown, row: CaseRow, money: str) -> dict[str, float | None]:
    """Give what the screen costs altogether, from-to, and who pays what."""
    costs, share = case.evaluation.costs, case.evaluation.catchment.settings.landholder_share
    values = {
        "capital": costs.capital,
        "capital, low": costs.capital_low,
        "capital, high": costs.capital_high,
        "the landholder pays once": costs.capital * share,
        "upkeep a year": costs.upkeep_per_year,
        "life-cycle cost": costs.life_cycle,
    }
    return {
        f"{name} {money}": None if row.option == NONE else float(of[row.position, row.option])
        for name, of in values.items()
    }


def _of_table(case: CaseShown, row: CaseRow) -> dict[str, Any]:
    offtakes = case.evaluation.catchment.table("offtakes")
    cells: dict[str, Any] = {}
    for name in OF_TABLE:
        unit = offtakes.spec.by_name[name].unit
        cell = offtakes.columns[name][row.position]
        cells[f"{name} ({unit})" if unit else name] = float(cell) if unit else str(cell) or None
    return cells
