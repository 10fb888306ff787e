"""W21 and more: targets for gloves, three taps, every look, 320 px, nothing from elsewhere."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.field.at_bank import (
    Run,
    assert_badge_true,
    go_on,
    made_run,
    open_stop,
    outbox,
    phone,
    take_offline,
    type_number,
)
from tests.journeys.test_map import AXE

NARROW = {"width": 320, "height": 640}
LOOKS = ("light", "sun", "dark")
TARGETS = (
    "a[href], button, input:not(.unseen), textarea, select, summary, label.button, label.choice"
)
CONTRAST = """limit => { const seen = []; const lum = c => { const [r, g, b] = c.match(/[\\d.]+/g)
.map(Number).map(v => (v /= 255) <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
const ground = e => { for (; e; e = e.parentElement) {
const c = getComputedStyle(e).backgroundColor;
if (!/^rgba.*, 0\\)$/.test(c)) return c; } return 'rgb(255, 255, 255)'; };
for (const e of document.querySelectorAll('body *')) {
if (!e.offsetParent || e.closest('svg')) continue;
if (![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())) continue;
const [a, b] = [lum(getComputedStyle(e).color), lum(ground(e))].sort((x, y) => y - x);
const ratio = (a + 0.05) / (b + 0.05);
if (ratio < limit) seen.push([e.textContent.slice(0, 30), ratio]);
} return seen; }"""


def screens(run: Run) -> list[tuple[str, str]]:
    """Every screen by its address and what is awaited there."""
    return [
        (f"{run.address}/field", ".run"),
        (run.at(), ".stops .stop"),
        (run.at(0), "[data-field=plate_capacity]"),
        (f"{run.address}/field#phone", ".outbox li"),
        (f"{run.address}/field#run=00000000-0000-4000-8000-000000000000", "text=Not on this phone"),
    ]


def looked(page: Page, look: str) -> None:
    """Put a look on, by the button."""
    for _ in LOOKS:
        if page.locator("html").get_attribute("data-look") == look:
            return
        page.locator(".head-look").click()
    raise AssertionError(look)


def prepared(page: Page, run: Run) -> None:
    """A run offline, a fault, a note and a conflict's worth of text."""
    take_offline(page, run)
    open_stop(page, run)
    page.get_by_text("Could not get in").first.click()
    type_number(page, "depth_today", "1,9")
    go_on(page)


@pytest.mark.parametrize("look", LOOKS)
def test_axe_finds_nothing_on_any_screen_and_text_stands_out(
    browser: Browser, run: Run, look: str
) -> None:
    """W13 and W14: every screen in every look; in the sun 7:1, else 4.5:1."""
    with phone(browser, run.address) as page:
        prepared(page, run)
        looked(page, look)
        for address, awaited in screens(run):
            page.goto(address)
            page.locator(awaited).first.wait_for()
            assert page.locator("html").get_attribute("data-look") == look
            found = Axe().run(page, options={"runOnly": AXE["runOnly"]}).response["violations"]
            assert [(each["id"], [n["html"] for n in each["nodes"]][:3]) for each in found] == []
            assert page.evaluate(CONTRAST, 7 if look == "sun" else 4.5) == []


@pytest.mark.parametrize("size", [NARROW, {"width": 390, "height": 844}])
def test_every_target_is_44_px_and_nothing_is_clipped(
    browser: Browser, run: Run, size: dict[str, int]
) -> None:
    """W21 and W15: measured on every screen; the page scrolls one way only."""
    with phone(browser, run.address, size=size) as page:
        prepared(page, run)
        for address, awaited in screens(run):
            page.goto(address)
            page.locator(awaited).first.wait_for()
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
            for target in page.locator(TARGETS).all():
                box = target.bounding_box()
                if box is None or not target.is_visible():
                    continue
                inside = target.evaluate(
                    "t => t.closest('label.choice') !== null && t.matches('input')"
                )
                told = target.evaluate("t => t.outerHTML.slice(0, 200)")
                assert inside or (box["height"] >= 43.9 and box["width"] >= 43.9), told
                assert box["x"] >= 0, told
                assert box["x"] + box["width"] <= size["width"], told


def test_from_the_list_of_runs_to_the_first_note_in_three_taps(browser: Browser, run: Run) -> None:
    """W21: run, next stop, a word: three taps, and a note is safe on the phone."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.context.set_offline(True)
        page.goto(f"{run.address}/field")
        page.get_by_role("link", name="Open", exact=True).tap()
        expect(page.locator(".card.next")).to_contain_text(f"Next stop, 1 of 3{run.codes[0]}")
        page.locator(".foot a").tap()
        page.locator("[data-field=running] .press").first.tap()
        expect(page.locator(".badge")).to_have_text("1 note safe on this phone, 1 not yet sent")
        assert outbox(page)["writing"][0]["typed"] == "running"


def test_the_way_on_lies_under_the_thumb(browser: Browser, run: Run) -> None:
    """One hand: the next stop, and done here, stand at the bottom of what is seen, unscrolled."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        for address, head in ((run.at(), ""), (run.at(0), run.codes[0])):
            page.goto(address)
            expect(page.locator("h1")).to_contain_text(head)  # else the screen before it
            way = page.locator(".foot .button")
            expect(way).to_be_in_viewport(ratio=1)
            # asked in one step: the screen may be drawn anew between two
            assert way.evaluate("(each) => each.getBoundingClientRect().top") > 844 * 2 / 3
        way.click()
        expect(page.locator(".card.next")).to_contain_text(run.codes[1])
        expect(page.locator(".stops li").first).to_contain_text("done")


def test_could_not_get_in_is_a_result_in_two_taps(browser: Browser, run: Run) -> None:
    """A word is enough; more can be written beside it."""
    with phone(browser, run.address) as page:
        open_stop(page, run)
        page.get_by_text("Could not get in").first.tap()
        page.get_by_role("button", name="Gate locked").tap()
        page.get_by_role("button", name="Nobody there").tap()
        go_on(page)
        page.locator(".foot .button").tap()
        expect(page.locator(".badge")).to_contain_text("1 note safe on this phone, 0 not yet sent")
        assert_badge_true(page)
    [note] = run.notes
    assert (note["field"], note["typed"]) == ("no_entry", "Gate locked; nobody there")


def test_each_field_says_how_to_measure_and_what_to_be_careful_of(
    browser: Browser, run: Run
) -> None:
    """One line each; a caution of several fields once at the head; a plate's unit is chosen."""
    with phone(browser, run.address) as page:
        open_stop(page, run)
        forms = page.evaluate(
            "async run => (await (await fetch('/api/runs/' + run + '/pack')).json()).forms", run.id
        )
        assert len(forms) == 17
        for form in forms:
            card = page.locator(f"[data-field={form['field']}]")
            assert form["how"] in (card.text_content() or "")
            assert form["caution"] in (page.locator("main").text_content() or "")
        cautions = {form["caution"] for form in forms if form["caution"]}
        said = page.locator("main").text_content() or ""
        assert [each for each in cautions if said.count(f"!{each}") != 1] == []
        card = page.locator("[data-field=plate_capacity]")
        assert card.locator(".press[aria-pressed=true]").count() == 0
        card.locator(".typed").fill("250")
        expect(card).to_contain_text("Choose the unit that stands there")
        card.locator(".press[data-value='L/s']").click()
        expect(card.locator(".fault")).to_have_text("")
        card.locator(".press[data-value='m3/s']").click()
        expect(card).to_contain_text("times more than the register says")


def test_nothing_moves_by_itself(browser: Browser, run: Run) -> None:
    """W25: no animation is running, whether motion is reduced or not."""
    with phone(browser, run.address, size=NARROW) as page:
        page.emulate_media(reduced_motion="no-preference")
        prepared(page, run)
        for address, awaited in screens(run):
            page.goto(address)
            page.locator(awaited).first.wait_for()
            assert page.evaluate("document.getAnimations().length") == 0


def test_every_request_goes_to_its_own_origin(browser: Browser, run: Run) -> None:
    """W26: over a whole visit, the worker's requests too; the policy allows nothing else."""
    asked: list[str] = []
    with phone(browser, run.address) as page:  # which fails on foreign requests by itself
        page.context.on("request", lambda request: asked.append(request.url))
        prepared(page, run)
        page.goto(run.at())
        policy = page.request.get(f"{run.address}/field").headers["content-security-policy"]
    assert len(asked) > 10
    assert "worker-src 'self'" in policy
    assert "connect-src 'self'" in policy


def test_it_can_be_installed(browser: Browser, run: Run) -> None:
    """The manifest is found and sound, its icons are of the sizes it says."""
    with phone(browser, run.address) as page:
        page.goto(f"{run.address}/field")
        session = page.context.new_cdp_session(page)
        told = session.send("Page.getAppManifest")
        assert told["errors"] == []
        assert told["url"].endswith("/field/manifest.webmanifest")
        icons = page.evaluate(
            """async () => { const m = await (await fetch('/field/manifest.webmanifest')).json();
            return Promise.all(m.icons.filter(i => i.type === 'image/png').map(async i => {
            const b = await createImageBitmap(await (await fetch(i.src)).blob());
            return [i.sizes, b.width + 'x' + b.height]; })); }"""
        )
    assert len(icons) == 3
    assert all(said == measured for said, measured in icons)


@pytest.mark.parametrize("roads", [True, False])
def test_straight_lines_of_the_sketch_are_said_to_be_no_roads(
    browser: Browser, run: Run, *, roads: bool
) -> None:
    """Where the pack holds no road; else roads are drawn, and nothing needs to be said."""

    def packed(route: Route) -> None:
        answer = route.fetch()
        told = answer.json()
        if not roads:
            lines = told["ground"]["roads"]
            told["ground"]["roads"] = {name: [] for name in lines}
        route.fulfill(response=answer, json=told)

    with phone(browser, run.address) as page:
        page.route("**/pack", packed)
        take_offline(page, run)
        page.goto(run.at())
        sketch = page.locator(".sketch")
        expect(sketch.locator(".sketch-road")).to_have_count(int(roads))
        said = sketch.get_by_text("Dashed: straight lines, not roads")
        expect(said).to_have_count(int(not roads))


def test_several_runs_are_listed_the_latest_first(browser: Browser, run: Run) -> None:
    """Each with its day and how many sites."""
    made_run(run.address, 2)
    with phone(browser, run.address) as page:
        page.goto(f"{run.address}/field")
        expect(page.locator(".run")).to_have_count(2)
        expect(page.locator(".run").first).to_contain_text("sites")
