"""The brief for the board: what is decided, what it buys, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from slackwater.desk.loss_of_site import RANGED, range_shares
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fund_page import upkeep_per_year
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.paper.offers_said import ledger_said
from slackwater.desk.set_benefit import share_of
from slackwater.desk.visibility import Viewer
from slackwater.reports.board_brief import (
    BoardBrief,
    DistrictLine,
    SetLine,
    SiteLine,
    board_brief_html,
)
from slackwater.reports.figures import (
    NOTHING,
    count_of,
    decimals,
    listed,
    money,
    percent,
    tidy,
    whole_money,
)

SHOWN, CALLS_NAMED, DISTRICTS_SHOWN, CONDITIONS_SHOWN, MOST_LETTERS = 5, 12, 9, 8, 170
"""Two pages hold so much; what is left out is counted."""


def print_board_brief(case: CaseShown, printed_at: datetime) -> str:
    """Give the brief as HTML; for the lead alone, since it holds costs."""
    return board_brief_html(board_facts(case, printed_at))


def board_facts(case: CaseShown, printed_at: datetime) -> BoardBrief:
    """Gather what stands in the brief."""
    inside = [row for row in case.rows if row.inside]
    outside = [row for row in case.rows if row.state == "outside"]
    largest = sorted(inside, key=lambda row: (-row.gain_share, row.rank))[:SHOWN]
    return BoardBrief(
        stamp=case.stamp(printed_at),
        decision=_decision(case, len(inside)),
        ground=ground_shown(case, Viewer.LEAD),
        ways=_ways(case),
        buys=(*_buys(case, inside), *ledger_said(case, printed_at.isoformat())),
        largest=tuple(_site(case, row) for row in largest),
        does_not_buy=_does_not_buy(case, inside, outside),
        next_in_line=tuple(_site(case, row) for row in outside[:SHOWN]),
        how_sure=_how_sure(case),
        conditions=_first(
            [shortened(each) for each in (*case.conditions, *case.hand_choices)],
            CONDITIONS_SHOWN,
            "other",
        ),
        districts=_districts(case),
        currency=case.currency,
        gain_unit=case.gain_unit,
    )


def _decision(case: CaseShown, count: int) -> str:
    spent, budget = case.result["spent"], case.result["budget"]
    return (
        f"The board is asked to approve {whole_money(spent, case.currency)} of "
        f"{whole_money(budget, case.currency)} for screens on {count_of(count, 'offtake')}, "
        f"{'the best set for that budget' if case.trial['way'] == 'best' else 'by score'}."
    )


def _ways(case: CaseShown) -> tuple[SetLine, ...]:
    """Give the set asked for, and the list by score beside it."""
    result, by_score = case.result, case.result["by_score"]
    asked = SetLine(
        case.way, whole_money(result["spent"]), percent(result["benefit_share"]), asked_for=True
    )
    if case.trial["way"] != "best":
        return (asked,)
    avoided = percent(share_of(by_score["benefit_adults"], case.loss_adults))
    return (asked, SetLine("By score", whole_money(by_score["spent"]), avoided, asked_for=False))


def _buys(case: CaseShown, inside: Sequence[CaseRow]) -> tuple[str, ...]:
    settings, costs = case.evaluation.catchment.settings, case.evaluation.costs
    capital = sum(float(costs.capital[row.position, row.option]) for row in inside)
    return (
        f"{case.headline} Gains of single offtakes do not add up to it: what one screen lets past "
        "another may still take.",
        f"Landholders pay {money(capital * settings.landholder_share, case.currency)} beside it, "
        f"once, and keep the screens for {money(upkeep_per_year(case), case.currency)} a year.",
    )


def _does_not_buy(
    case: CaseShown, inside: Sequence[CaseRow], outside: Sequence[CaseRow]
) -> tuple[str, ...]:
    rest = [row for row in case.rows if row.state == "not_in_round"]
    shares = [percent(sum(row.loss_share for row in rows)) for rows in (inside, outside, rest)]
    return (
        f"It leaves {percent(max(0.0, 1 - case.result['benefit_share']))} of the loss to pumps in "
        f"place. Counted offtake by offtake, {shares[0]} of that loss is at those inside, "
        f"{shares[1]} at {count_of(len(outside), 'offtake')} outside the money and {shares[2]} at "
        f"{count_of(len(rest), 'offtake')} built or not in this round.",
        "It does not pay for upkeep or for the landholders' share, and it settles no design, "
        "works approval or heritage question at any site.",
    )


def _how_sure(case: CaseShown) -> tuple[str, ...]:
    ranges = case.evaluation.catchment.settings.ranges
    low, high = range_shares(ranges)
    assumed = "" if any(name in ranges for name in RANGED) else ", an assumed range"
    gap = case.promise or (
        "No claim is made that no other list would do better: it takes what is accepted first, "
        "then goes down the ranks while the money lasts."
    )
    return (
        gap,
        _close_calls(case),
        f"The loss itself may be {tidy(low, 2)} to {tidy(high, 2)} times what is counted{assumed}; "
        "that moves all offtakes alike more than one against another.",
    )


def _close_calls(case: CaseShown) -> str:
    """Name the close calls, those inside first."""
    calls = [row for row in case.rows if row.close_call]
    if not calls:
        return "There is no close call: small changes of cost, gain or weight turn no offtake."
    named = _first([row.code for row in sorted(calls, key=_by_side)], CALLS_NAMED, "other")
    by = "a tenth of their gain" if case.trial["way"] == "best" else "0.05 of a weight"
    return (
        f"{count_of(len(calls), 'close call')}, inside or outside by a tenth of their cost or by "
        f"{by}: {listed(named)}."
    )


def _by_side(row: CaseRow) -> tuple[bool, int]:
    return (not row.inside, row.rank)


def _site(case: CaseShown, row: CaseRow) -> SiteLine:
    return SiteLine(
        rank=row.rank,
        code=row.code,
        district=_district(case, row),
        cost=whole_money(row.cost),
        gain=case.gain(row.gain_share) if row.option >= 0 else NOTHING,
    )


def _district(case: CaseShown, row: CaseRow) -> str:
    offtakes = case.evaluation.catchment.table("offtakes")
    return str(offtakes.text("district")[row.position]) or NOTHING


def _districts(case: CaseShown) -> tuple[DistrictLine, ...]:
    """Give a line a district, the dearest first; the smallest together where there are many."""
    of: dict[str, list[CaseRow]] = {}
    for row in case.rows:
        of.setdefault(_district(case, row), []).append(row)
    found = sorted(of.items(), key=lambda each: (-_money(each[1]), each[0]))
    shown = found[:DISTRICTS_SHOWN]
    if len(found) > DISTRICTS_SHOWN:
        rest = [row for _, rows in found[DISTRICTS_SHOWN:] for row in rows]
        shown.append((f"{len(found) - DISTRICTS_SHOWN} others", rest))
    spent = case.result["spent"]
    return tuple(
        DistrictLine(
            district=name if name != NOTHING else "no district",
            inside=f"{decimals(sum(row.inside for row in rows))} of {decimals(len(rows))}",
            money=whole_money(_money(rows)),
            money_share=percent(share_of(_money(rows), spent)),
            gain=case.gain(sum(row.gain_share for row in rows if row.inside)),
        )
        for name, rows in shown
    )


def _money(rows: Iterable[CaseRow]) -> float:
    return sum(row.cost or 0.0 for row in rows if row.inside)


def shortened(words: str) -> str:
    """Cut a long reason; the fund page has it whole."""
    return words if len(words) <= MOST_LETTERS else f"{words[:MOST_LETTERS].rstrip()} …"


def _first(words: Sequence[str], most: int, thing: str) -> tuple[str, ...]:
    """Give the first of a list, and how many more there are."""
    rest = len(words) - most
    return (*words[:most], *((f"{count_of(rest, thing)}",) if rest > 0 else ()))
