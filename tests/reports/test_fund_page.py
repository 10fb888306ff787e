"""The printed fund page (W24), as it comes out of a real browser."""

from __future__ import annotations

from datetime import UTC, datetime
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser

from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fund_page import fund_page_facts, print_fund_page
from slackwater.desk.showing import Shown
from slackwater.reports.printing import look
from tests.contracts.small_view import small_view
from tests.reports.cases import case_of, demo_best, demo_by_score
from tests.reports.printed import Printed, plain, print_to_pdf

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
CASES = {"by score": demo_by_score, "best set": demo_best}


@pytest.fixture(scope="module", params=CASES)
def case(request: pytest.FixtureRequest) -> CaseShown:
    return CASES[request.param]()


@pytest.fixture(scope="module")
def printed(case: CaseShown, browser: Browser) -> Printed:
    return print_to_pdf(browser, print_fund_page(case, NOW))


def told_rows(case: CaseShown) -> list[str]:
    """Each row that must be there, as its cells stand side by side."""
    options = case.evaluation.catchment.table("options")
    names = dict(zip(options.keys, options.text("name").tolist(), strict=True))
    return [
        f"{row['rank']} {row['code']} {row['score']:.3f} {names[row['option']]}"
        for row in case.result["rows"]
        if row["state"] == "inside" or row["close_call"]
    ]


def test_every_row_above_the_line_and_every_close_call_is_printed(
    case: CaseShown, printed: Printed
) -> None:
    """Rank, code, score and screen stand together on one page, and nowhere twice."""
    rows = told_rows(case)
    assert len(rows) > 30
    for row in rows:
        assert [row in page for page in printed.pages].count(True) == 1, row
    for row in case.result["rows"]:
        if row["state"] == "inside":
            assert f"{row['cost']:,.0f}" in printed.text


def test_the_line_stands_between_inside_and_outside(case: CaseShown, printed: Printed) -> None:
    """What is inside comes before the budget line, close calls outside after it."""
    line = printed.text.index("ends here: ")
    for row in case.result["rows"]:
        at = printed.text.find(f" {row['code']} {row['score']:.3f}")
        if row["state"] == "inside":
            assert 0 < at < line
        elif row["close_call"]:
            assert at > line


def test_weights_money_dates_and_versions_are_printed(case: CaseShown, printed: Printed) -> None:
    """The first page alone holds what the list rests on."""
    first = printed.pages[0]
    for label, thousandths in case.weights:
        assert f"{label} {thousandths / 1000:.3f}" in first
    for words in (
        f"Budget {case.trial['budget']:,.0f} CDL",
        f"Spent {case.result['spent']:,.0f} CDL",
        "saved 28 November 2026 by Program lead",
        f"Data {case.case['data_version']} of 27 November 2026, model {case.case['model_version']}",
        "Printed 29 November 2026",
        "it does not design",
        "cultural heritage are checked",
    ):
        assert words in first, words
    assert plain(case.headline) in first


def test_the_map_has_a_legend_and_a_scale_bar(case: CaseShown, printed: Printed) -> None:
    """Each state is explained with how many there are; the bar says its length."""
    first = printed.pages[0]
    signs = [row.sign for row in case.rows]
    for words, count in {
        "inside the budget": signs.count("inside"),
        "outside": signs.count("outside"),
        "outside, a close call": signs.count("close_out"),
        "built or not in this round": signs.count("not_in_round"),
    }.items():
        assert f"{words} · {count}" in first
    assert "50 km" in first
    assert "Mean flow, m³/s" in first


def test_codes_of_many_inside_stand_on_the_map(case: CaseShown, printed: Printed) -> None:
    """At least half of the offtakes inside are named on the map, which is on the first page."""
    inside = [row.code for row in case.rows if row.inside]
    assert sum(code in printed.pages[0] for code in inside) > len(inside) / 2


def test_heads_are_repeated_on_every_page_of_the_list(case: CaseShown, printed: Printed) -> None:
    """A page torn off still says its columns, case and data."""
    assert len(printed.pages) >= 3
    for page in printed.pages[1:]:
        assert "Rank Code Score Screen Cost, CDL" in page
        assert f"data {case.case['data_version']}" in page
        assert "page" in page.lower()


def test_a_choice_by_hand_is_printed_with_its_reason(browser: Browser) -> None:
    """W9 on paper: kept in and left out, each with why; the rules stand on the first page."""
    printed = print_to_pdf(browser, print_fund_page(demo_best(), NOW))
    assert "Kept in by hand: its owner has offered to host visits." in printed.text
    assert "Left out by hand: the channel is to be closed next year." in printed.text
    assert "Kindle Hills: at least 5.0 % of the budget." in printed.pages[0]
    assert "At most 40 installs." in printed.pages[0]
    assert "That is proved." in printed.pages[0]


def test_black_alone_suffices(case: CaseShown, browser: Browser) -> None:
    """No pixel of the printed look has a hue."""
    page = browser.new_page()
    page.route("**/look.css", lambda route: route.fulfill(body=look(), content_type="text/css"))
    page.route(
        "**/page",
        lambda route: route.fulfill(body=print_fund_page(case, NOW), content_type="text/html"),
    )
    page.emulate_media(media="print")
    page.goto("http://127.0.0.1:9/print/page")
    pixels = np.asarray(Image.open(BytesIO(page.screenshot(full_page=True))).convert("RGB"))
    page.close()
    assert pixels.min() < 40
    assert (pixels.max(axis=2) - pixels.min(axis=2)).max() <= 2


def test_a_name_with_markup_is_printed_as_it_was_written(browser: Browser) -> None:
    """Text of a case never becomes markup."""
    name = '<img src=x onerror=alert(1)> & "{{ 7 * 7 }}"'
    case = case_of(Shown(small_view()), 62_000.0, name=name)
    printed = print_to_pdf(browser, print_fund_page(case, NOW))
    assert name in printed.text


def test_data_that_has_moved_on_is_said(browser: Browser) -> None:
    """A page of an old case says that the data has changed since, its numbers not."""
    case = case_of(Shown(small_view()), 62_000.0)
    moved = CaseShown({**case.case, "data": {**case.case["data"], "is_present": False}}, case.shown)
    printed = print_to_pdf(browser, print_fund_page(moved, NOW))
    assert "The data has changed since; these numbers have not." in printed.text


def test_nothing_inside_is_a_page_too(browser: Browser) -> None:
    """A budget of nothing prints, and says so."""
    case = case_of(Shown(small_view()), 0.0)
    facts = fund_page_facts(case, NOW)
    assert facts.inside == ()
    printed = print_to_pdf(browser, print_fund_page(case, NOW))
    assert "No offtake is funded from a budget of 0 CDL." in printed.text
