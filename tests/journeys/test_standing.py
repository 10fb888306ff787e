"""Funded or not and why: list, head and panel say one thing in the same figures, to each viewer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_map import DESK, budget_of, codes_by_rank, funded_rows, watched

READ = """() => {
  // Every row of the list in order: code, word, figures; null at the line.
  const grid = document.querySelector('[role=grid]');
  const seen = new Map();
  const read = () => document.querySelectorAll('.list-body [role=row]').forEach((row) => {
    const text = (name) => row.querySelector(`.cell-${name}`)?.textContent;
    seen.set(Number(row.getAttribute('aria-rowindex')), text('code') ? {
      code: text('code'), pays: text('money'), risk: text('risk'), loss: text('loss'),
      word: row.querySelector('.cell-code').dataset.word ?? '' } : null);
  });
  for (let top = 0; top <= grid.scrollHeight; top += grid.clientHeight - 80) {
    grid.scrollTop = top;
    grid.dispatchEvent(new Event('scroll'));
    read();
  }
  grid.scrollTop = 0;
  return [...seen].sort((a, b) => a[0] - b[0]).map(([, row]) => row);
}"""


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page, watched for errors and foreign requests."""
    yield from watched(browser, address, DESK)


@pytest.fixture(scope="module")
def offtakes(address: str) -> dict[str, Any]:
    told: dict[str, Any] = httpx.get(f"{address}/api/offtakes").json()
    return told


def find(page: Page, code: str) -> str:
    """Open an offtake by its code; what the line under its first sentence says."""
    page.get_by_role("combobox", name="Find an offtake").fill(code)
    page.keyboard.press("Enter")
    expect(page.locator(".why .why-code")).to_have_text(code)
    return page.locator(".why-standing").inner_text().replace("\u00a0", " ")


def test_the_rows_inside_sum_to_the_head(page: Page, address: str) -> None:
    """Whoever adds up what the fund pays above the line gets what the head says is spent."""
    rows = page.evaluate(READ)
    inside = rows[: rows.index(None)]
    total = 1000 * sum(float(row["pays"].replace(",", "")) for row in inside)
    said = page.get_by_role("heading", level=1).inner_text().replace("\u00a0", " ")
    spent = re.search(r"offtakes, ([\d.,]+)( M)? of", said)
    assert spent
    head = float(spent[1].replace(",", "")) * (1e6 if spent[2] else 1)
    assert abs(total - head) <= 50 * len(inside) + (5000 if spent[2] else 50)
    assert total <= budget_of(address) + 50 * len(inside)


def test_every_state_is_said_in_the_row_and_in_the_panel(
    page: Page, address: str, offtakes: dict[str, Any]
) -> None:
    """Accepted, built, unwilling, inside and passed over: word and line follow the answer."""
    words = {row["code"]: row["word"] for row in page.evaluate(READ) if row}
    codes, because = offtakes["offtake_id"], offtakes["not_funded_because"]
    order = [codes.index(code) for code in codes_by_rank(address)]
    inside = set(funded_rows(offtakes, order, budget_of(address)))
    seen: set[str] = set()
    for row in order:
        state, status = offtakes["fund_state"][row], offtakes["status"][row]
        if state == 2:
            kind, said = "accepted", "Funded: accepted already, before rank"
        elif state == 0:
            kind, said = f"{status} {because[row]}", f"Not funded: {because[row]}."
        elif row in inside:
            rank = offtakes["rank"][row]
            costs = hundreds(offtakes, row)
            kind, said = "inside", f"Funded: rank {rank}, costs {costs} CDL, money"
        else:
            kind, said = "passed", f"Passed over: it costs {hundreds(offtakes, row)} CDL, "
        word = {"accepted": "accepted", "inside": "", "passed": ""}.get(kind)
        if word is None:
            word = status if status in ("built", "declined") else "unwilling"
        assert words[codes[row]] == word
        if kind not in seen:
            seen.add(kind)
            assert find(page, codes[row]).startswith(said)
    assert len(seen) >= 3


def hundreds(offtakes: dict[str, Any], row: int) -> str:
    return f"{int(offtakes['fund_cost'][row] / 100 + 0.5) * 100:,}"


def test_what_was_left_when_a_site_was_passed_over(
    page: Page, address: str, offtakes: dict[str, Any]
) -> None:
    """The first that is passed over is told what was left at its turn, less than it costs."""
    codes, budget = offtakes["offtake_id"], budget_of(address)
    order = [codes.index(code) for code in codes_by_rank(address)]
    inside = set(funded_rows(offtakes, order, budget))
    spent = sum(offtakes["fund_cost"][row] for row in inside if offtakes["fund_state"][row] == 2)
    for row in order:
        if offtakes["fund_state"][row] != 1:
            continue
        if row not in inside:
            left = int((budget - spent) / 100 + 0.5) * 100
            assert find(page, codes[row]).endswith(f", {left:,} CDL was left.")
            assert budget - spent < offtakes["fund_cost"][row]
            return
        spent += offtakes["fund_cost"][row]
    pytest.skip("every offtake that may be funded is inside")


def test_list_and_panel_show_the_same_figures(page: Page) -> None:
    """Risk, loss and what the fund pays read alike in the row and in its panel."""
    for row in [each for each in page.evaluate(READ) if each][:40:8]:
        find(page, row["code"])
        page.locator(".why-chart").wait_for()
        terms = page.locator(".why-loss dd, .why-screen[open] .why-terms > div").all_inner_texts()
        told = [term.replace("\u00a0", " ").replace("\n", " ") for term in terms]
        assert f"{row['loss']} %" in told
        if row["word"] != "accepted":  # it may be held to another screen than its best
            pays = next(each for each in told if each.startswith("Fund pays"))
            thousands = float(pays.split()[2].replace(",", "")) / 1000
            assert f"{thousands:.1f}" == row["pays"]
        risk = page.locator(".why-sum tr[data-criterion=risk] td").first.inner_text()
        assert risk == row["risk"]


def test_the_public_hears_in_or_not_and_never_why_not(browser: Browser, address: str) -> None:
    """Nobody but the agency is told who is unwilling or has declined."""
    whole = httpx.get(f"{address}/api/offtakes").json()
    unwilling = [
        code
        for code, because in zip(whole["offtake_id"], whole["not_funded_because"], strict=True)
        if because and "willing" in because
    ]
    assert unwilling
    for page in watched(browser, f"{address}/?as=public", DESK):
        words = {row["code"]: row["word"] for row in page.evaluate(READ)}
        assert {words[code] for code in unwilling} == {""}
        assert find(page, unwilling[0]) == "Not in this round."
        free = whole["offtake_id"][whole["fund_state"].index(1)]
        assert find(page, free) == "In this round."
