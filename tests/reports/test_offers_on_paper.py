"""Offers on paper: accepted and offered ones are marked, their money beside what is counted."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import openpyxl
import pytest

from slackwater.desk.funding import benefit_adults
from slackwater.desk.paper.board_brief import print_board_brief
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fund_page import print_fund_page
from slackwater.desk.paper.offers_said import beside_counted
from slackwater.desk.paper.result_workbook import result_workbook
from slackwater.reports.figures import percent
from tests.reports.cases import demo_best, demo_by_score

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
ABOVE = 4_000.0


@pytest.fixture(scope="module", params=[demo_by_score, demo_best], ids=["by score", "best set"])
def case(request: pytest.FixtureRequest) -> CaseShown:
    """The demo's case, each accepted offtake but one committed 4,000 above what is counted."""
    made: CaseShown = request.param()
    accepted = [row for row in made.rows if row.status == "accepted" and row.inside]
    assert len(accepted) > 1
    sums = {row.code: row.cost + ABOVE for row in accepted[1:] if row.cost is not None}
    return replace(made, committed=sums)


def text_of(page: str) -> str:
    plain = re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<svg.*?</svg>", "", page))
    return re.sub(r"\s+", " ", html.unescape(plain))


def test_how_far_apart_is_said_above_below_and_alike() -> None:
    """Both sums, and the difference with its side."""
    assert beside_counted(52_000, 48_000) == "52,000 committed, 48,000 counted: 4,000 above"
    assert beside_counted(45_000, 48_000) == "45,000 committed, 48,000 counted: 3,000 below"
    assert beside_counted(48_000, 48_000) == "48,000 committed, 48,000 counted: the same"


def test_the_fund_page_marks_offers_and_sums_up_what_is_committed(case: CaseShown) -> None:
    """Every accepted or offered row above the line says so; a sentence has all of them together."""
    page = text_of(print_fund_page(case, NOW))
    known = [row for row in case.rows if row.code in case.committed]
    counted = sum(row.cost or 0.0 for row in known)
    assert beside_counted(counted + ABOVE * len(known), counted) in page
    assert "For 1 accepted offtake no committed sum is written down" in page
    for row in case.rows:
        if not row.inside or row.status not in ("accepted", "offered"):
            continue
        told = re.search(rf"{row.code} \d\.\d+ (.*?) (?:\d+ LN-|Best set ends|Budget ends)", page)
        assert told, row.code
        assert ("Accepted" if row.status == "accepted" else "Offered") in told[1]
        assert ("4,000 above" in told[1]) == (row.code in case.committed)


def test_the_board_reads_what_is_committed_beside_what_is_counted(case: CaseShown) -> None:
    """One sentence, with the day of which the sums are."""
    page = text_of(print_board_brief(case, NOW))
    assert "By 29 November 2026, for" in page
    assert re.search(r"committed, [\d,]+ counted: [\d,]+ above", page)


def test_the_workbook_marks_offers_and_has_both_sums(case: CaseShown) -> None:
    """The reason column says offered or accepted; the money stands in columns of its own."""
    book = openpyxl.load_workbook(BytesIO(result_workbook(case, NOW)))
    heads, *rows = book["list"].iter_rows(values_only=True)
    told: dict[Any, dict[Any, Any]] = {row[1]: dict(zip(heads, row, strict=True)) for row in rows}
    for row in case.rows:
        cells = told[row.code]
        word = {"accepted": "Accepted", "offered": "Offered"}.get(row.status)
        assert (cells["reason"] or "").startswith(word) if word else True
        assert cells["committed by the offer (CDL)"] == case.committed.get(row.code)
        if row.code in case.committed:
            assert cells["committed less counted (CDL)"] == pytest.approx(ABOVE)


def test_the_share_on_paper_is_what_the_set_gains_as_a_whole(case: CaseShown) -> None:
    """Not the sum of single gains, which is less; by score the fund page says which it is."""
    inside = [row for row in case.rows if row.inside]
    whole = benefit_adults(case.evaluation, [(row.position, row.option) for row in inside])
    share = whole / case.loss_adults
    assert share > sum(row.gain_share for row in inside)
    assert case.result["benefit_share"] == pytest.approx(share, rel=1e-9)
    assert f"avoiding {percent(share)} of the loss".replace("\u00a0", " ") in text_of(
        print_fund_page(case, NOW)
    ).replace("\u00a0", " ")
    if case.trial["way"] == "score":
        assert "what the set gains as a whole" in text_of(print_fund_page(case, NOW))
