"""The brief for the board: two pages at most, and every number that of the case."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser

from slackwater.desk.paper.board_brief import board_facts, print_board_brief
from slackwater.desk.paper.case_shown import CaseShown
from tests.reports.cases import case_of, demo_best, demo_by_score, demo_shown, small_shown
from tests.reports.printed import plain, print_to_pdf

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
CASES = {"by score": demo_by_score, "best set": demo_best}


@pytest.mark.parametrize("way", CASES)
def test_it_says_on_two_pages_what_is_decided_and_how_sure(browser: Browser, way: str) -> None:
    """Decision, what it buys and does not, certainty, districts, cautions, versions."""
    case = CASES[way]()
    printed = print_to_pdf(browser, print_board_brief(case, NOW))
    assert len(printed.pages) <= 2
    spent, budget = case.result["spent"], case.result["budget"]
    for words in (
        f"asked to approve {spent:,.0f} CDL of {budget:,.0f} CDL",
        "What it buys",
        "What it does not buy",
        "How sure it is",
        "Money by district",
        "Cautions",
        "it does not design",
        f"Data {case.case['data_version']}",
        f"{case.result['close_call_count']} close calls",
        "50 km" if way == "none" else "100 km",
    ):
        assert words in printed.text, words
    for row in case.rows:
        assert (row.code in printed.text) or not row.by_hand


def test_the_best_set_stands_beside_the_list_by_score() -> None:
    """Both with what they spend and avoid; which is asked for is said."""
    asked, beside = board_facts(demo_best(), NOW).ways
    assert (asked.way, asked.asked_for) == ("Best set", True)
    assert (beside.way, beside.asked_for) == ("By score", False)
    assert beside.spent == f"{demo_best().result['by_score']['spent']:,.0f}"
    avoided = [float(each.avoided.split()[0]) for each in (asked, beside)]
    assert avoided[0] >= avoided[1]


@pytest.mark.parametrize("way", CASES)
def test_the_districts_money_is_all_the_money(way: str) -> None:
    """It sums to what is spent, but for rounding; offtakes inside and of all do too."""
    case = CASES[way]()
    lines = board_facts(case, NOW).districts
    money = sum(int(line.money.replace(",", "")) for line in lines)
    assert money == pytest.approx(case.result["spent"], abs=len(lines))
    counts = [tuple(map(int, line.inside.split(" of "))) for line in lines]
    assert tuple(map(sum, zip(*counts, strict=True))) == (
        case.result["inside_count"],
        len(case.rows),
    )


def test_what_it_does_not_buy_shares_out_the_whole_loss() -> None:
    """Inside, outside and not in this round make all of the loss."""
    case = demo_by_score()
    said = plain(" ".join(board_facts(case, NOW).does_not_buy))
    shares = [
        sum(row.loss_share for row in case.rows if row.state == state)
        for state in ("inside", "outside", "not_in_round")
    ]
    assert sum(shares) == pytest.approx(1)
    assert [f"{100 * share:.2g} %" in said for share in shares] == [True] * 3


def test_next_in_line_are_the_first_below_the_line() -> None:
    """The five highest ranked that could be funded and are not."""
    case = demo_by_score()
    below = [row["code"] for row in case.result["rows"] if row["state"] == "outside"][:5]
    assert [line.code for line in board_facts(case, NOW).next_in_line] == below


def test_long_reasons_and_many_conditions_stay_on_two_pages(browser: Browser) -> None:
    """Twenty reasons of the longest kind are cut and counted; the fund page has them whole."""
    case = demo_by_score()
    codes = [row.code for row in case.rows if row.state == "outside"][:20]
    trial = {**case.trial, "way": "best", "left_out": dict.fromkeys(codes, "because " * 120)}
    long = CaseShown({**case.case, "trial": trial}, demo_shown())
    printed = print_to_pdf(browser, print_board_brief(long, NOW))
    assert len(printed.pages) <= 2
    assert "12 others" in printed.text


def test_a_small_catchment_without_close_calls_prints(browser: Browser) -> None:
    """Three offtakes, two districts: what is absent is said, not left blank."""
    case = case_of(small_shown(), 1_000_000.0)
    printed = print_to_pdf(browser, print_board_brief(case, NOW))
    assert "There is no close call" in printed.text
    assert "Next in line" not in printed.text
