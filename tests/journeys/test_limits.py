"""What holds whatever is shown: contrast, narrow pages, stillness, no request to anyone else."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.journeys.test_map import DESK, PHONE, ROWS, watched
from tests.journeys.test_shown import view


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page, watched for errors and foreign requests."""
    yield from watched(browser, address, DESK)


@pytest.mark.parametrize(("theme", "least"), [("light", 4.5), ("projector", 7.0)])
def test_words_stand_out(browser: Browser, address: str, theme: str, least: float) -> None:
    """W14, text: every ink on every paper reaches 4.5:1, on a projector 7:1."""
    for page in watched(browser, address, DESK):
        view(page, theme=theme)
        tones = page.evaluate(
            "names => names.map(name => getComputedStyle(document.body)"
            ".getPropertyValue(`--${name}`).trim())",
            ["ink", "ink-soft", "paper", "paper-deep", "chosen", "pointed"],
        )
        for ink in tones[:2]:
            for paper in tones[2:]:
                assert contrast(ink, paper) >= least, (ink, paper)


def contrast(one: str, other: str) -> float:
    """WCAG 2.2's contrast ratio of two colours written #rgb or #rrggbb."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(tone: str) -> float:
    digits = tone[1:] if len(tone) == 7 else "".join(2 * digit for digit in tone[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("name", ["Weights and budget", "View"])
@pytest.mark.parametrize(
    "size", [{"width": 320, "height": 640}, {"width": 320, "height": 256}, PHONE]
)
def test_drawers_fit_a_narrow_page(
    browser: Browser, address: str, size: dict[str, int], name: str
) -> None:
    """W15: 320 px and 400 %: with a drawer open nothing is wider than the page or cut."""
    for page in watched(browser, address, size):
        page.get_by_role("button", name=name, exact=True).click()
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        for control in page.locator(".drawer:not([hidden])").locator("input, select, button").all():
            if not control.is_visible():
                continue
            at = control.bounding_box()
            assert at is not None
            assert at["x"] >= 0
            assert at["x"] + at["width"] <= size["width"]
            assert at["height"] >= 43.5 or control.inner_text() == "Start again"


def test_a_projector_theme_fits_a_narrow_page(browser: Browser, address: str) -> None:
    """W15: with the larger type of a projector a phone's page still scrolls one way only."""
    for page in watched(browser, address, PHONE):
        view(page, theme="projector")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        page.locator(ROWS).first.click()
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_nothing_moves_on_its_own(page: Page) -> None:
    """W25: with reduced motion nothing is animated, whatever is opened."""
    page.keyboard.press("w")
    page.locator(ROWS).first.click()
    page.keyboard.press("t")
    assert page.evaluate("document.getAnimations().length") == 0


def test_every_request_goes_home(browser: Browser, address: str) -> None:
    """W26: whatever is switched, opened or found, only this origin is asked."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(address)
    page.locator(ROWS).first.wait_for()
    for key in "yfutwb":
        page.keyboard.press(key)
    page.locator(ROWS).nth(2).click()
    page.wait_for_timeout(500)
    assert len(asked) > 8
    assert all(url.startswith((address, "data:", "blob:")) for url in asked)
    context.close()
