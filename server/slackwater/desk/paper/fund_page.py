"""The printed fund page of a case."""

from __future__ import annotations

from datetime import datetime

from slackwater.desk.case_words import short_money
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.paper.offers_said import ledger_said, offer_said
from slackwater.desk.set_benefit import share_of
from slackwater.desk.visibility import Viewer
from slackwater.reports.figures import NOTHING, count_of, percent, sentence, whole_money
from slackwater.reports.fund_page import FundPage, FundRow, fund_page_html

TOGETHER = (
    "The share avoided is what the set gains as a whole; the page, while weights move, adds up "
    "what each offtake gains alone and says “at least”."
)


def print_fund_page(case: CaseShown, printed_at: datetime) -> str:
    """Give the page as HTML; for the lead alone, since it holds costs and reasons."""
    return fund_page_html(fund_page_facts(case, printed_at))


def fund_page_facts(case: CaseShown, printed_at: datetime) -> FundPage:
    """Gather what stands on the page."""
    inside = [row for row in case.rows if row.inside]
    left_out = [row for row in case.rows if row.by_hand == "left_out" and not row.inside]
    close = [row for row in case.rows if row.close_call and not row.inside and not row.by_hand]
    spent, budget = case.result["spent"], case.result["budget"]
    unit = f" {case.currency}" if case.currency else ""
    return FundPage(
        stamp=case.stamp(printed_at),
        way=case.way,
        headline=case.headline,
        how_sure=how_sure_words(case),
        ground=ground_shown(case, Viewer.LEAD),
        inside=tuple(_row(case, row) for row in inside),
        close=tuple(_row(case, row) for row in close),
        left_out=tuple(_row(case, row) for row in left_out),
        line_words=f"{case.way} ends here: {short_money(spent)} of {short_money(budget)}{unit}"
        if case.trial["way"] == "best"
        else f"Budget ends here: {short_money(spent)} of {short_money(budget)}{unit}",
        weights=case.weights,
        money=(
            ("Budget", whole_money(budget, case.currency)),
            ("Spent", whole_money(spent, case.currency)),
            ("Left", whole_money(max(0.0, budget - spent), case.currency)),
            ("Upkeep a year, not in it", whole_money(upkeep_per_year(case), case.currency)),
        ),
        conditions=(*case.conditions, *_by_hand(case)),
        committed=ledger_said(case, printed_at.isoformat()),
        note=case.case.get("note") or "",
        currency=case.currency,
        gain_unit=case.gain_unit,
    )


def how_sure_words(case: CaseShown) -> tuple[str, ...]:
    """Say how sure the set is, and what the other way to spend would do."""
    by_score = case.result["by_score"]
    share = share_of(by_score["benefit_adults"], case.loss_adults)
    if case.trial["way"] == "best":
        money = whole_money(by_score["spent"], case.currency)
        return (
            case.promise,
            f"For the same budget the list by score avoids {percent(share)}, for {money}.",
            "Weights move the score and the rank; they play no part in the best set.",
        )
    return (
        TOGETHER,
        "The list by score takes what is accepted first, then goes down the ranks while the money "
        "lasts and passes over what no longer fits; no claim is made that no other set would do "
        "better.",
    )


def upkeep_per_year(case: CaseShown) -> float:
    """Give what the screens inside cost to keep each year; it is outside the budget."""
    upkeep = case.evaluation.costs.upkeep_per_year
    return float(
        sum(upkeep[row.position, row.option] for row in case.rows if row.inside and row.option >= 0)
    )


def _by_hand(case: CaseShown) -> tuple[str, ...]:
    """Count the hand choices; each stands with its reason in the list."""
    count = len(case.hand_choices)
    return (f"{count_of(count, 'choice')} by hand, each with its reason in the list.",) * bool(
        count
    )


def _row(case: CaseShown, row: CaseRow) -> FundRow:
    return FundRow(
        rank=row.rank,
        code=row.code,
        sign=row.sign,
        score=row.score,
        option=case.option_name(row.option) or NOTHING,
        cost=row.cost,
        gain=case.gain(row.gain_share) if row.option >= 0 else NOTHING,
        remark=_remark(row),
    )


def _remark(row: CaseRow) -> str:
    """Say how its offer stands, and why it was chosen by hand."""
    word = "Kept in" if row.by_hand == "kept_in" else "Left out"
    by_hand = sentence(f"{word} by hand: {row.reason}") if row.by_hand else ""
    return " ".join(filter(None, (offer_said(row), by_hand)))
