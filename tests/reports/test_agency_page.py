"""The fund page as the agency reads it: the lead's page without what a quote or an offer says."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from slackwater.catchment.fields import Visibility
from slackwater.desk.criteria_shown import quoted_at_best
from slackwater.desk.paper.agency_page import agency_page_facts, costs_told, print_agency_page
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fund_page import fund_page_facts, print_fund_page, upkeep_per_year
from slackwater.desk.showing import Shown
from slackwater.desk.visibility import Viewer
from tests.contracts.seeded import Secrets, numbers_from, seeded_small, unlike, view_of
from tests.reports.cases import case_of, demo_best, demo_by_score, demo_shown, small_shown

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
REASON = "SECRET its owner is in debt"
BUDGET = 1_000_000.0


def seeded(way: str) -> tuple[CaseShown, Secrets]:
    """Give a case on data full of secrets, and what of it is not the agency's."""
    of, planted = seeded_small()
    view = view_of(of)
    private = planted[Visibility.PRIVATE]
    private.numbers.extend(unlike(numbers_from(view)[Visibility.PRIVATE]))
    case = case_of(Shown(view), BUDGET, way, kept_in={"A": REASON} if way == "best" else {})
    spent = case.result["spent"]
    private.numbers.extend(unlike([spent, BUDGET - spent, upkeep_per_year(case)]))
    noted = {**case.case, "note": f"{REASON} as well"}
    return replace(case, case=noted, committed={"A": 51_234.0, "B": 61_234.0}), private


def words_of(html: str) -> str:
    """Give a page without its drawings, numbers without their commas."""
    return re.sub(r"(?<=\d),(?=\d{3})", "", re.sub(r"<svg.*?</svg>", "", html, flags=re.DOTALL))


@pytest.mark.parametrize("way", ["score", "best"])
def test_no_secret_of_a_landholder_is_on_the_page(way: str) -> None:
    """No private text, and no private number in any unit; nor a sum, a reason or a note that tells
    one. The lead's page does hold them: the search finds what is told."""
    case, private = seeded(way)
    told = print_agency_page(case, NOW)
    assert "SECRET" not in told
    assert [text for text in private.texts if text in told] == []
    assert private.found_in(words_of(told)) == set()
    lead = print_fund_page(case, NOW)
    assert REASON in lead
    assert private.found_in(words_of(lead))


def test_a_quoted_cost_alone_is_left_out() -> None:
    """Each row stands with rank, score, screen and gain; the cost of a quoted screen is a dash.

    The score of the quoted one, of which cost is a part, is told to hundredths.
    """
    case = case_of(small_shown(), BUDGET)
    told, lead = agency_page_facts(case, NOW), fund_page_facts(case, NOW)
    costs = {row.code: row.cost for row in told.inside}
    assert costs == {"A": next(row.cost for row in lead.inside if row.code == "A"), "B": None}
    assert costs_told(case)["A"]
    told_scores = {row.code: row.score for row in told.inside}
    scores = {row.code: row.score for row in lead.inside}
    assert told_scores == {"A": scores["A"], "B": round(scores["B"], 2)}
    assert told_scores["B"] != scores["B"]
    for mine, theirs in zip(told.inside, lead.inside, strict=True):
        unlike_in = {"cost": 0, "remark": "", "score": 0}
        assert replace(mine, **unlike_in) == replace(theirs, **unlike_in)


@pytest.mark.parametrize("cost_counts", [True, False])
def test_a_score_is_told_to_hundredths_wherever_a_quote_is_a_part_of_it(
    *, cost_counts: bool
) -> None:
    """Inside or outside the money, whichever screen is chosen; in full where cost has no weight."""
    weights = None if cost_counts else {"weights": {"risk": 600, "overlap": 400, "cost": 0}}
    case = case_of(demo_shown(), 1.9e6, "best", **(weights or {}))
    quoted = quoted_at_best(case.evaluation)
    lead = fund_page_facts(case, NOW)
    told = agency_page_facts(case, NOW)
    hidden = 0
    for mine, theirs in zip((*told.inside, *told.close), (*lead.inside, *lead.close), strict=True):
        is_hidden = cost_counts and quoted[case.row(mine.code).position]
        assert mine.score == (round(theirs.score, 2) if is_hidden else theirs.score), mine.code
        hidden += is_hidden
    assert bool(hidden) is cost_counts


@pytest.mark.parametrize("case", [demo_by_score(), demo_best()], ids=["by score", "best set"])
def test_no_sum_is_told_of_which_the_rest_could_be_taken_off(case: CaseShown) -> None:
    """Spent and left are made from quotes, so the budget stands for both, in every sentence."""
    told = agency_page_facts(case, NOW)
    assert [term for term, _ in told.money] == ["Budget"]
    assert told.committed == ()
    words = " ".join((told.headline, *told.how_sure, told.line_words, *told.conditions))
    for amount in (case.result["spent"], case.result["by_score"]["spent"]):
        assert f"{amount:,.0f}" not in words
    assert [row.code for row in told.inside] == [row.code for row in case.rows if row.inside]


def test_offtakes_stand_at_the_middle_of_their_reach() -> None:
    """The intake's own place is a landholder's; the lead's map has it."""
    case = demo_by_score()
    told, lead = agency_page_facts(case, NOW).ground, fund_page_facts(case, NOW).ground
    moved = [a.code for a, b in zip(told.dots, lead.dots, strict=True) if a.lon != b.lon]
    assert len(moved) > len(told.dots) / 2
    assert case.stamp(NOW, Viewer.AGENCY).made_by  # colleagues are named to each other
