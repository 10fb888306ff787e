"""The why panel: parts sum, chart and table agree, the map is lit, what is private stays so."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_map import (
    DESK,
    PHONE,
    ROWS,
    assert_axe_silent,
    codes_by_rank,
    watched,
)

PANEL = ".why"
LIT = ".leaflet-lit-pane canvas"


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page that fails the test on any error or foreign request."""
    yield from watched(browser, address, DESK)


def opened(page: Page, place: int = 0) -> Page:
    """Open the panel at a place of the list and wait for its answer."""
    page.locator(ROWS).nth(place).click()
    page.locator(".why-chart").wait_for()
    return page


def why(address: str, code: str, viewer: str = "lead") -> Any:
    return httpx.get(f"{address}/api/offtakes/{code}/why", params={"as": viewer}).json()


SUM_SHOWN = """() => {
  const row = document.activeElement;
  const code = row.querySelector('.cell-code')?.textContent;
  if (!code) return null;
  const text = (selector) => document.querySelector(`.why ${selector}`)?.textContent ?? '';
  return {
    code,
    title: text('.why-code'),
    inList: row.querySelector('.cell-score').textContent,
    total: text('.why-total'),
    parts: [...document.querySelectorAll('.why .why-points')].map((each) => each.textContent),
    products: [...document.querySelectorAll('.why .why-sum tbody tr')].map((each) =>
      [...each.cells].slice(1, 3).map((cell) => cell.textContent)),
  };
}"""


def thousandths(text: str) -> int:
    found = re.search(r"\d+\.\d{3}", text)
    assert found, text
    return round(float(found.group()) * 1000)


def assert_sum(shown: dict[str, Any]) -> None:
    assert shown["title"] == shown["code"]
    assert shown["total"] == shown["inList"]
    parts = [thousandths(part) for part in shown["parts"]]
    assert sum(parts) == thousandths(shown["total"]), shown
    for part, (value, weight) in zip(parts, shown["products"], strict=True):
        product = float(value) * float(weight.removeprefix("×"))
        assert abs(part - 1000 * product) <= 1.51, shown


def walk(page: Page, steps: int) -> list[str]:
    """Go down the list by keys, looking into every row without leaving it."""
    seen = []
    for _ in range(steps):
        page.keyboard.press("Space")
        shown = page.evaluate(SUM_SHOWN)
        if shown:
            assert_sum(shown)
            seen.append(shown["code"])
        page.keyboard.press("ArrowDown")
    return seen


def test_parts_shown_sum_to_the_score_shown_for_every_offtake(page: Page, address: str) -> None:
    """W3: all down the list by keys; the total is the list's score to the last place."""
    codes = codes_by_rank(address)
    page.locator(ROWS).first.focus()
    rows = int(page.get_by_role("grid").get_attribute("aria-rowcount") or 0) - 1
    assert set(walk(page, rows)) == set(codes)


def test_parts_follow_the_weights_in_the_same_moment(page: Page) -> None:
    """W3 under other weights: a step of a slider moves parts and score together."""
    opened(page)
    before = page.locator(".why-total").inner_text()
    page.get_by_role("button", name="Weights and budget").click()
    slider = page.locator("#drawer-weights input[type=range]").first
    slider.focus()
    for _ in range(7):
        page.keyboard.press("ArrowRight")
    assert page.locator(".why-total").inner_text() != before
    page.locator(f"{ROWS}[tabindex='0']").focus()
    page.keyboard.press("Home")
    assert len(walk(page, 12)) >= 11


def test_the_months_sum_to_the_overlap_of_the_list(address: str) -> None:
    """The twelve overlaps of a site sum to its overlap in the list, shares to one."""
    offtakes = httpx.get(f"{address}/api/offtakes").json()
    for row in range(0, offtakes["count"], max(1, offtakes["count"] // 15)):
        months = why(address, offtakes["offtake_id"][row])["months"]
        assert len(months) == 12
        overlap = sum(month["overlap"] for month in months)
        assert abs(overlap - offtakes["overlap"][row] / 1e6) < 2e-6
        for share in ("draw_share", "passing_share"):
            assert abs(sum(month[share] for month in months) - 1) < 1e-6 or overlap == 0


READ_CHART = """svg => {
  const all = (selector) => [...svg.querySelectorAll(selector)];
  const marks = all('.why-grid').map(g => Number(g.getAttribute('d').match(/ ([\\d.]+)h/)[1]));
  const [zero, top] = [Math.max(...marks), Math.min(...marks)];
  const most = Math.max(...all('g .why-axis').map(t => Number(t.textContent)));
  const share = (y) => (most * (zero - y)) / (zero - top);
  const line = (name) => svg.querySelector(name).getAttribute('d')
    .match(/[ML][\\d.]+ ([\\d.]+)/g).map(step => share(Number(step.split(' ')[1])));
  const bars = all('.why-overlap').map(b => share(Number(b.getAttribute('y'))));
  const [draw, passing] = [line('.why-draw'), line('.why-passing')];
  return draw.map((each, i) => [each, passing[i], bars[i]]);
}"""


def test_the_chart_says_what_its_table_says(page: Page, address: str) -> None:
    """Bars and lines read back from the drawing are the table's numbers, and those the answer's."""
    opened(page, 2)
    months = why(address, codes_by_rank(address)[2])["months"]
    page.locator(PANEL).get_by_text("as a table").click()
    cells = page.locator(".why-months table tbody tr").evaluate_all(
        "rows => rows.map(r => [...r.cells].slice(1).map(c => Number(c.textContent)))"
    )
    told = [[m["draw_share"], m["passing_share"], m["overlap"]] for m in months]
    for row, shares in zip(cells[:12], told, strict=True):
        assert row == [pytest.approx(100 * share, abs=0.0501) for share in shares]
    drawn = page.locator(".why-chart").evaluate(READ_CHART)
    for row, shown in zip(cells[:12], drawn, strict=True):
        assert shown == [pytest.approx(value, abs=0.08) for value in row]


def test_enter_moves_the_focus_in_and_escape_gives_it_back(page: Page) -> None:
    """Enter on a row leads to the panel's heading; Escape closes and leads back to that row."""
    page.locator(ROWS).first.focus()
    page.keyboard.press("ArrowDown")
    row = page.evaluate("document.activeElement.getAttribute('aria-rowindex')")
    page.keyboard.press("Enter")
    expect(page.locator(f"{PANEL} h2")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator(PANEL)).to_be_hidden()
    expect(page.locator(f"[aria-rowindex='{row}']")).to_be_focused()
    page.keyboard.press("Space")
    expect(page.locator(PANEL)).to_be_visible()
    expect(page.locator(f"[aria-rowindex='{row}']")).to_be_focused()


def lit_pixels(page: Page) -> int:
    """Pixels that are lit; while nothing is, there is no sheet for it."""
    if page.locator(LIT).count() == 0:
        return 0
    count: int = page.locator(LIT).evaluate(
        """c => {
          const copy = new OffscreenCanvas(c.width, c.height);
          const pen = copy.getContext('2d', { willReadFrequently: true });
          pen.drawImage(c, 0, 0);
          const data = pen.getImageData(0, 0, c.width, c.height).data;
          return data.filter((value, i) => i % 4 === 3 && value > 0).length;
        }"""
    )
    return count


def test_routes_are_lit_while_the_panel_is_open(page: Page) -> None:
    """The map is dark before, lit with a legend while open, and dark again after."""
    assert lit_pixels(page) == 0
    opened(page)
    expect(page.locator(".why-routes")).to_contain_text("where its drifters come from")
    expect(page.locator(".why-routes")).to_contain_text("where they would have settled")
    assert lit_pixels(page) > 500
    page.get_by_role("button", name="Close").click()
    assert lit_pixels(page) == 0


@pytest.mark.parametrize("size", [DESK, PHONE, {"width": 320, "height": 640}])
@pytest.mark.parametrize("theme", ["light", "projector"])
def test_axe_finds_nothing_in_the_open_panel(
    browser: Browser, address: str, theme: str, size: dict[str, int]
) -> None:
    """W13: everything unfolded, in both themes."""
    for page in watched(browser, address, size):
        page.evaluate("theme => { document.documentElement.dataset.theme = theme; }", theme)
        opened(page)
        page.locator(".why-routes .why-lit-to").wait_for()
        page.locator(".why details").evaluate_all("all => all.forEach(d => { d.open = true; })")
        assert_axe_silent(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert page.locator(PANEL).evaluate("p => p.scrollWidth <= p.clientWidth")


def test_the_public_sees_nothing_private(browser: Browser, address: str) -> None:
    """W17: no private value of a site is in the public's panel or answer."""
    code = codes_by_rank(address)[0]
    secrets = {
        str(each["value"])
        for each in why(address, code)["inputs"]
        if each["visibility"] == "private" and len(str(each["value"])) > 4
    }
    assert secrets
    answer = httpx.get(f"{address}/api/offtakes/{code}/why", params={"as": "public"}).text
    for page in watched(browser, f"{address}/?as=public", DESK):
        opened(page)
        page.locator(".why details").evaluate_all("all => all.forEach(d => { d.open = true; })")
        words = page.locator(PANEL).inner_text()
        assert "landholder's side" not in words
        assert "not public" in words
        assert "told in bands" in words
        for secret in secrets:
            assert secret not in words
            assert secret not in answer
        parts = [thousandths(part) for part in page.locator(".why-points").all_inner_texts()]
        assert sum(parts) == thousandths(page.locator(".why-total").inner_text())


def test_every_why_leads_to_its_heading_in_the_guide(page: Page, address: str) -> None:
    """Each block's link answers, has its heading, and says where it leads."""
    opened(page)
    links = page.locator(f"{PANEL} .why-how")
    blocks = page.locator(f"{PANEL} .why-block").count()
    assert links.count() == blocks == 8 - (page.locator(".why-landholder").count() == 0)
    for link in links.all():
        name = link.inner_text()
        assert name.startswith("how?")
        assert len(link.evaluate("a => a.textContent")) > len("how?") + 10
        assert link.get_attribute("rel") == "noopener"
        where, _, heading = str(link.get_attribute("href")).partition("#")
        found = httpx.get(f"{address}{where}")
        assert found.status_code == 200, where
        if heading:
            assert f'id="{heading}"' in found.text, heading


def test_a_failing_answer_is_said_and_tried_again(browser: Browser, address: str) -> None:
    """Without its answer the panel tells score and parts, says what failed, and asks again."""
    context = browser.new_context(viewport=DESK, reduced_motion="reduce")
    page = context.new_page()
    page.route("**/api/offtakes/*/why*", lambda route: route.abort())
    page.goto(address)
    page.locator(ROWS).first.click()
    expect(page.locator(".why-failed")).to_contain_text("does not answer")
    expect(page.locator(".why-total")).to_be_visible()
    page.unroute("**/api/offtakes/*/why*")
    page.locator(".why-failed button").click()
    page.locator(".why-chart").wait_for()
    expect(page.locator(".why-failed")).to_have_count(0)
    context.close()


def test_flows_stand_in_the_chosen_unit(page: Page) -> None:
    """W10: the unit switches every flow of the panel, and nothing else of it."""
    opened(page)
    expect(page.locator(".why-intake")).to_contain_text("ML/d at most")
    page.locator(f"{PANEL} h2").focus()
    page.keyboard.press("u")
    expect(page.locator(".why-intake")).to_contain_text("L/s at most")
    page.get_by_text("every input").click()
    expect(page.locator(".why-inputs").first).to_contain_text("L/s")
