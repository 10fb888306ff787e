"""The program lead spends a budget by score: list, map, head and the service's rule agree."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from slackwater.decisions.score import to_thousandths
from tests.journeys.pixels import find_view, marks_on_map
from tests.journeys.test_map import (
    DESK,
    budget_of,
    codes_listed,
    funded_rows,
    open_page,
    watched,
)

WEIGHTINGS, FEW_WEIGHTINGS = 200, 25
NAMES = {"risk": "Entrainment risk", "overlap": "Season overlap", "cost": "Low cost"}
WIDE = {"width": 1920, "height": 1080}
LISTED = """() => {
  // Every code of the list in order, null at the line: scrolls through as a reader would.
  const grid = document.querySelector('[role=grid]');
  const seen = new Map();
  const read = () => document.querySelectorAll('.list-body [role=row]').forEach((row) =>
    seen.set(Number(row.getAttribute('aria-rowindex')),
      row.querySelector('.cell-code')?.textContent ?? null));
  return new Promise((done) => {
    let top = 0;
    const step = () => {
      read();
      if (top > grid.scrollHeight) {
        grid.scrollTop = 0;
        done([...seen].sort((a, b) => a[0] - b[0]).map(([, code]) => code));
        return;
      }
      grid.scrollTop = top += grid.clientHeight - 80;
      grid.dispatchEvent(new Event('scroll'));
      step();
    };
    step();
  });
}"""


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page with the weights open."""
    for page in watched(browser, address, DESK):
        page.get_by_role("button", name="Weights and budget").click()
        yield page


def box(page: Page, name: str) -> Any:
    return page.get_by_role("textbox", name=re.compile(f"^{name},"))


def slider(page: Page, name: str) -> Any:
    return page.get_by_role("slider", name=name)


def weights_shown(page: Page) -> dict[str, int]:
    """Thousandths by criterion, as the boxes say."""
    return {
        name: round(10 * float(box(page, words).input_value())) for name, words in NAMES.items()
    }


def offtakes_of(address: str) -> dict[str, Any]:
    told: dict[str, Any] = httpx.get(f"{address}/api/offtakes").json()
    return told


def ranked(offtakes: Mapping[str, Any], weights: Mapping[str, int]) -> list[int]:
    """Rows by score and tie order, worked out from the answer's whole numbers."""
    score = [
        sum(weights[name] * {**offtakes, **offtakes["criteria"]}[name][row] for name in weights)
        for row in range(offtakes["count"])
    ]
    return sorted(range(len(score)), key=lambda row: (-score[row], offtakes["tie_order"][row]))


def above_the_line(listed: list[str | None]) -> set[str]:
    return {code for code in listed[: listed.index(None)] if code}


def test_list_and_map_agree_over_many_weightings(
    browser: Browser, address: str, request: pytest.FixtureRequest
) -> None:
    """W1: codes above the budget line = codes drawn inside on the map; and = the rule's own, over
    200 weightings (25 in the short run)."""
    many = WEIGHTINGS if request.config.getoption("--long") else FEW_WEIGHTINGS
    offtakes, chance = offtakes_of(address), random.Random(7)
    fundable = {
        code
        for code, state in zip(offtakes["offtake_id"], offtakes["fund_state"], strict=True)
        if state > 0
    }
    seen_inside: set[str] = set()
    seen_outside: set[str] = set()
    for page in watched(browser, address, WIDE):
        page.get_by_role("button", name="Weights and budget").click()
        view = find_view(page)
        for _ in range(many):
            name = chance.choice(list(NAMES))
            box(page, NAMES[name]).fill(str(chance.randint(0, 100)))
            box(page, "Budget").fill(str(chance.randint(2, 40) * 100_000))
            page.keyboard.press("Enter")
            order = ranked(offtakes, weights_shown(page))
            budget = float(box(page, "Budget").input_value().replace(",", ""))
            expected = {offtakes["offtake_id"][row] for row in funded_rows(offtakes, order, budget)}
            above = above_the_line(page.evaluate(LISTED))
            assert above == expected
            marks = marks_on_map(page, view, [offtakes["offtake_id"][row] for row in order])
            readable = marks.keys() & fundable  # over another disc a dash cannot be told by eye
            drawn = {code for code in readable if marks[code] == "inside"}
            assert drawn == above & readable
            assert all(marks[code] != "dash" for code in readable)
            seen_inside |= drawn
            seen_outside |= readable - drawn
    assert len(seen_inside) > 0.6 * len(fundable)  # of what is not under others on the map
    assert len(seen_outside) > 0.6 * len(fundable)


def test_the_order_in_the_page_is_the_services(page: Page, address: str) -> None:
    """W2, on the page: as it opens, the list's order and line are the service's."""
    codes = [code for code in page.evaluate(LISTED) if code]
    assert codes == codes_listed(address)


def test_the_glance_is_recomputed_from_the_answer(page: Page, address: str) -> None:
    """W4: the sentence at the head says what the table says, also after a budget was typed."""
    offtakes = offtakes_of(address)
    for budget in (budget_of(address), 900_000.0, 3_456_700.0):
        box(page, "Budget").fill(f"{budget:,.0f}")
        page.keyboard.press("Enter")
        order = ranked(offtakes, weights_shown(page))
        inside = funded_rows(offtakes, order, budget)
        spent = sum(offtakes["fund_cost"][row] for row in inside)
        avoided = int(sum(offtakes["gain_share"][row] for row in inside) / 1e4 + 1e-9)
        said = page.get_by_role("heading", level=1).inner_text().replace("\u00a0", " ")
        set_said, _, close_said = said.partition("; ")
        assert set_said == (
            f"{len(inside)} offtakes, {said_money(spent)} of {said_money(budget)} CDL, "
            f"avoiding at least {avoided} % of the loss to pumps"
        )
        assert re.fullmatch(r"no close call|1 close call|\d+ close calls", close_said)
        below = page.locator(".below-glance").inner_text().replace("\u00a0", " ")
        assert below.startswith("By score")
        assert f"{round((budget - spent) / 100) * 100:,}\u00a0CDL is left" in below.replace(
            " CDL", "\u00a0CDL"
        )


def said_money(amount: float) -> str:
    return f"{amount / 1e6:.2f} M" if amount >= 999_500 else f"{round(amount / 100) * 100:,}"


def test_every_way_to_move_a_weight_leads_to_the_same_state(browser: Browser, address: str) -> None:
    """W5: pointer, arrow keys, buttons and box reach the same weights, order, line and head."""
    reached = []
    for way in ("pointer", "keys", "buttons", "box"):
        for page in watched(browser, address, DESK):
            page.get_by_role("button", name="Weights and budget").click()
            for name, target in ((NAMES["risk"], 45), ("Budget", 1_600_000)):
                WAYS[way](page, name, target)
            reached.append(
                (
                    weights_shown(page),
                    box(page, "Budget").input_value(),
                    page.get_by_role("heading", level=1).inner_text(),
                    page.evaluate(LISTED),
                )
            )
    assert reached[0][0] == {"risk": 450, "overlap": 138, "cost": 412}
    assert to_thousandths([0.138, 0.412]).tolist() == [251, 749]  # the others: 1 to 3 as before
    for other in reached[1:]:
        assert other == reached[0]


def by_pointer(page: Page, name: str, target: float) -> None:
    """Drags the thumb in small moves until the box says the target."""
    at = slider(page, name).bounding_box()
    most = float(slider(page, name).get_attribute("max"))
    value = target * (1 if name == "Budget" else 10)
    thumb = 18
    now = float(slider(page, name).input_value())
    y = at["y"] + at["height"] / 2

    def x_of(amount: float) -> float:
        return float(at["x"] + thumb / 2 + (at["width"] - thumb) * amount / most)

    page.mouse.move(x_of(now), y)
    page.mouse.down()
    page.mouse.move(x_of(value), y, steps=6)
    page.mouse.up()
    said = float(box(page, name).input_value().replace(",", ""))
    assert said == target


def by_keys(page: Page, name: str, target: float) -> None:
    slider(page, name).focus()
    _step_to(page, name, target, lambda up: page.keyboard.press("ArrowUp" if up else "ArrowDown"))


def by_buttons(page: Page, name: str, target: float) -> None:
    group = page.get_by_role("group", name=name, exact=True)
    _step_to(page, name, target, lambda up: group.get_by_role("button").nth(int(up)).click())


def by_box(page: Page, name: str, target: float) -> None:
    box(page, name).fill(str(target))
    page.keyboard.press("Enter")


def _step_to(page: Page, name: str, target: float, step: Any) -> None:
    for _ in range(60):
        now = float(box(page, name).input_value().replace(",", ""))
        if now == target:
            return
        step(now < target)
    pytest.fail(f"{name} did not arrive at {target}")


WAYS = {"pointer": by_pointer, "keys": by_keys, "buttons": by_buttons, "box": by_box}


def test_a_word_in_a_box_is_not_taken(page: Page) -> None:
    """What is no number is marked and moves nothing; starting again takes all back."""
    before = page.get_by_role("heading", level=1).inner_text()
    box(page, "Budget").fill("much")
    page.keyboard.press("Enter")
    expect(box(page, "Budget")).to_have_attribute("aria-invalid", "true")
    assert page.get_by_role("heading", level=1).inner_text() == before
    by_box(page, NAMES["risk"], 0)
    assert page.get_by_role("heading", level=1).inner_text() != before
    page.get_by_role("button", name="Start again").click()
    assert page.get_by_role("heading", level=1).inner_text() == before
    assert weights_shown(page) == {"risk": 600, "overlap": 100, "cost": 300}


def test_where_the_accepted_cost_too_much_there_is_no_set(page: Page) -> None:
    """A budget below what is promised buys nothing, and the page says by how much it is short."""
    by_box(page, "Budget", 1000)
    expect(page.locator(".below-glance")).to_contain_text("more than the budget")
    assert above_the_line(page.evaluate(LISTED)) == set()
    expect(page.locator(".row-line")).to_contain_text("nothing is funded")


def test_the_public_has_no_budget_line_and_is_told_why(browser: Browser, address: str) -> None:
    """Without costs: the agency's order, no line, weights of what may be seen, and why."""
    public = httpx.get(f"{address}/api/offtakes?as=public").json()
    by_rank = sorted(zip(public["rank"], public["offtake_id"], strict=True))
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    open_page(page, f"{address}/?as=public")
    assert page.evaluate(LISTED) == [code for _, code in by_rank]
    expect(page.locator(".below-glance")).to_contain_text("Costs are shown in bands")
    page.get_by_role("button", name="Weights", exact=True).click()
    assert page.get_by_role("slider").count() == 2
    by_box(page, NAMES["risk"], 30)
    weights = {"risk": 300, "overlap": 700}
    order = [public["offtake_id"][row] for row in ranked(public, weights)]
    assert page.evaluate(LISTED) == order
    context.close()
