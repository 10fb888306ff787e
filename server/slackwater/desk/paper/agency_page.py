"""The fund page of a shared case for the agency: the lead's, without what a quote or an offer says.

A quote is a landholder's own. So is every sum that would give one away: were a single one quoted
among those inside, what is spent less what the others cost would be its price. The sums of all
offtakes are left out for that, and with them committed money, the note, conditions and reasons of
choices by hand, which are words of the lead's to the lead.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.case_words import short_money
from slackwater.desk.criteria_shown import score_partly_hidden
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fund_page import fund_page_facts
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.paper.public_page import public_headline
from slackwater.desk.visibility import Viewer, results_of
from slackwater.reports.figures import whole_money
from slackwater.reports.fund_page import FundPage, FundRow, fund_page_html

BY_HAND = {"kept_in": "Kept in by hand.", "left_out": "Left out by hand."}
FOR_THE_LEAD = "Conditions and reasons stand on the lead's own page."
NO_SUMS = "Costs made from a quote are not shown, nor are sums that would give one away."
BY_SCORE = (
    "The list by score takes what is accepted first, then goes down the ranks while the money "
    "lasts."
)
BEST = "Weights move the score and the rank; they play no part in the best set."


def print_agency_page(case: CaseShown, printed_at: datetime) -> str:
    """Give the page as HTML."""
    return fund_page_html(agency_page_facts(case, printed_at))


def agency_page_facts(case: CaseShown, printed_at: datetime) -> FundPage:
    """Gather what stands on the page."""
    facts = fund_page_facts(case, printed_at)
    costs, of_code = costs_told(case), {row.code: row for row in case.rows}
    weights = case.trial["weights"]
    hidden = score_partly_hidden(case.evaluation, Viewer.AGENCY, weights)

    def told(rows: Iterable[FundRow]) -> tuple[FundRow, ...]:
        return tuple(
            replace(
                row,
                cost=costs[row.code],
                score=round(row.score, 2) if hidden[of_code[row.code].position] else row.score,
                remark=BY_HAND.get(of_code[row.code].by_hand, ""),
            )
            for row in rows
        )

    budget = case.trial["budget"]
    unit = f" {case.currency}" if case.currency else ""
    by_score = case.trial["way"] != "best"
    return replace(
        facts,
        stamp=case.stamp(printed_at, Viewer.AGENCY),
        headline=public_headline(case),
        how_sure=(BY_SCORE if by_score else BEST, NO_SUMS),
        ground=ground_shown(case, Viewer.AGENCY),
        inside=told(facts.inside),
        close=told(facts.close),
        left_out=told(facts.left_out),
        line_words=f"The budget of {short_money(budget)}{unit} ends here",
        money=(("Budget", whole_money(budget, case.currency)),),
        conditions=(FOR_THE_LEAD,),
        committed=(),
        note="",
    )


def costs_told(case: CaseShown) -> dict[str, float | None]:
    """Give code -> cost to the fund as far as the agency may see it."""
    quoted = case.evaluation.costs.quoted
    private = [_is_quoted(row, quoted) for row in case.rows]
    (column,) = results_of(
        "fund", {"fund_cost": [row.cost for row in case.rows]}, {"fund_cost": np.array(private)}
    )
    shown = column.shown_to(Viewer.AGENCY)
    return dict(zip((row.code for row in case.rows), shown, strict=True))


def _is_quoted(row: CaseRow, quoted: NDArray[np.bool_]) -> bool:
    return row.option >= 0 and bool(quoted[row.position, row.option])
