"""A meeting led from the laptop beside the projector, from its first step to its minutes."""

from __future__ import annotations

import re
from pathlib import Path

import httpx
from playwright.sync_api import Browser, Page, expect

from tests.journeys.meeting.at_desk import (
    ON_COST,
    ON_RISK,
    desk,
    either_or,
    on_wall,
    tab_to,
    titles,
    tried,
)
from tests.journeys.meeting.served import MeetingServed

WORDS = "The hall takes the trial. 6 spoke <b>for</b> it; h, t and ? are letters here"
OPEN = "=Who pays for B?"


def test_a_whole_meeting_is_led_by_keys_alone(browser: Browser, tmp_path: Path) -> None:
    """Steps, hold, trial, what is agreed and closing; the agreed trial is a case, minutes stand."""
    with either_or(tmp_path) as on, desk(browser, on) as page:
        assert on.key not in page.url
        title = titles(on)
        wall, stands = page.locator(".lead-frame").all()
        for key, step in (
            ("PageDown", "problem"), ("ArrowRight", "screens"), ("PageUp", "problem"),
            ("ArrowLeft", "river"), ("5", "room"),
        ):  # fmt: skip
            page.keyboard.press(key)
            expect(wall).to_contain_text(title[step])
            assert on_wall(on)["step"] == step
        tried(on, *[ON_RISK] * 5, group="angler")
        expect(wall).to_contain_text("5 phones joined · 5 weightings tried")
        expect(page.locator(".lead-groups > div", has_text="angler")).to_have_text("angler5")

        page.keyboard.press("h")
        expect(page.get_by_text("Held: the wall stands still since")).to_be_visible()
        tried(on, ON_COST)
        page.keyboard.press("6")
        page.keyboard.press("t")
        expect(stands).to_contain_text("6 weightings tried")
        expect(stands).to_contain_text(title["choice"])
        expect(page.locator(".lead-trial")).to_contain_text("1\u00a0offtake joins: B")
        expect(page.locator(".lead-trial")).to_contain_text("1\u00a0offtake leaves: A")
        expect(wall).to_contain_text("5 weightings tried")
        expect(wall).to_contain_text(title["room"])
        held = on_wall(on)
        assert (held["step"], held["tried"], held["trial"]) == ("room", 5, None)
        page.keyboard.press("h")
        expect(stands).to_be_hidden()
        expect(wall).to_contain_text("the trial is shown")
        shown = on_wall(on)
        assert (shown["step"], shown["tried"], shown["held"]) == ("choice", 6, False)
        assert shown["trial"]["joins"] == ["B"]  # type: ignore[index]

        trial = page.get_by_role("button", name="The trial shown now: 1\u00a0offtake")
        tab_to(page, trial)
        page.keyboard.press("Space")
        page.keyboard.press("ArrowLeft")  # the wall's, also there
        expect(wall).to_contain_text(title["room"])
        page.keyboard.press("ArrowRight")
        expect(wall).to_contain_text(title["choice"])
        expect(trial).to_have_attribute("aria-pressed", "true")
        assert on_wall(on)["agreed"] is None
        tab_to(page, page.get_by_role("button", name="Agree on this"))
        page.keyboard.press("Enter")
        agreed = page.get_by_role("button", name="The trial agreed at")
        expect(agreed).to_have_attribute("aria-pressed", "true")
        expect(trial).to_be_hidden()
        page.keyboard.press("t")
        tried(on, ON_COST, ON_COST)
        page.keyboard.press("t")
        expect(wall).to_contain_text("the trial is shown")
        tab_to(page, page.get_by_label("Words for the minutes"))
        page.keyboard.type(WORDS)
        page.keyboard.press("Tab")
        page.keyboard.type(OPEN)
        page.reload()
        expect(page.get_by_label("Words for the minutes")).to_have_value(WORDS)
        expect(page.get_by_label("Left open")).to_have_value(OPEN)
        assert on_wall(on)["step"] == "choice"
        before = on_wall(on)["agreed"]
        tab_to(page, page.get_by_role("button", name="Keep for the minutes"))
        page.keyboard.press("Enter")
        expect(page.get_by_text("Kept for the minutes.")).to_be_visible()
        after = on_wall(on)["agreed"]
        assert after == {**before, "words": WORDS}  # type: ignore[dict-item]
        tab_to(page, page.get_by_role("button", name="Close the meeting…"))
        page.keyboard.press("Enter")
        closing = page.locator(".lead-closing")
        expect(closing).to_contain_text("the trial, 1\u00a0offtake, ")
        expect(closing).to_contain_text("It is kept as a case of its own")
        expect(page.get_by_role("button", name="Close it now")).to_be_focused()
        page.keyboard.press("Enter")
        expect(page.get_by_role("heading", name="The meeting is closed")).to_be_focused()
        page.reload()
        minutes = page.get_by_role("link", name="Minutes as a page")
        expect(page.get_by_role("link", name="Minutes as a PDF")).to_be_visible()
        tab_to(page, minutes)
        page.keyboard.press("Enter")
        expect(page.locator("body")).to_contain_text(WORDS)
        expect(page.locator("body")).to_contain_text(OPEN)

        listed = httpx.get(f"{on.address}/api/cases").json()["cases"]
        (agreed,) = [each for each in listed if each["copied_from"] == on.case_id]
        kept = httpx.get(f"{on.address}/api/cases/{agreed['id']}").json()
        inside = {row["code"] for row in kept["result"]["rows"] if row["state"] == "inside"}
        assert inside == {"B"}
        assert httpx.get(f"{on.api}/now").status_code == 404


def test_what_cannot_be_done_is_said_and_nothing_typed_is_lost(
    browser: Browser, tmp_path: Path
) -> None:
    """Too few for a trial, a network that goes, letters switched off, a key that does not fit."""
    with either_or(tmp_path) as on, desk(browser, on) as page:
        page.keyboard.press("t")
        expect(page.get_by_role("alert").filter(has_text="5 weightings")).to_be_visible()
        expect(page.get_by_role("button", name="Show the trial")).to_be_disabled()
        page.get_by_label("Left open").fill("The weir")
        page.context.set_offline(True)
        lost = page.get_by_text(re.compile("^No connection since"))
        expect(lost).to_be_visible()
        page.get_by_role("button", name="Keep for the minutes").click()
        expect(page.locator(".lead-agreed .lead-wrong")).not_to_be_empty()
        page.context.set_offline(False)
        expect(lost).to_have_count(0)
        page.get_by_role("button", name="Keep for the minutes").click()
        expect(page.get_by_text("Kept for the minutes.")).to_be_visible()
        both_are_shown(page, on)
        page.get_by_role("button", name="Keys").click()
        page.get_by_label("Letters and figures work").uncheck()
        page.keyboard.press("Escape")
        for key in ("h", "4", "PageDown"):
            page.keyboard.press(key)
        expect(page.locator(".lead-frame").first).to_contain_text(titles(on)["problem"])
        assert on_wall(on)["held"] is False
        page.goto("about:blank")
        page.goto(f"{on.phone}/lead#another")
        expect(page.get_by_role("heading", name="This key does not fit")).to_be_focused()
        page.get_by_label("Facilitator’s key, or the address with it").fill(on.lead)
        page.keyboard.press("Enter")
        expect(page.get_by_label("Left open")).to_have_value("The weir")


def both_are_shown(page: Page, on: MeetingServed) -> None:
    """Another page kept other words meanwhile: neither text is lost; what may tell is asked."""
    words = page.get_by_label("Words for the minutes")
    asked = page.get_by_text("Is this a name or a volume?")
    words.fill("The town wants the weir looked at")
    expect(asked).to_have_count(0)
    words.fill("J. Smith’s pump at 40 ML/d")
    expect(asked).to_be_visible()
    expect(page.locator("#lead-agreed-words-left")).to_contain_text("574\u00a0letters left")
    theirs = {"what": "same", "words": "Theirs", "left_open": "The weir", "seen": 1}
    with on.facilitator() as other:
        other.put("/lead/agreed", json=theirs).raise_for_status()
        again = other.put("/lead/agreed", json={**theirs, "words": "Older"})
        assert (again.status_code, again.json()["error"]["code"]) == (409, "changed_meanwhile")
    expect(page.get_by_text("kept there: Theirs")).to_be_visible()
    page.get_by_role("button", name="Keep for the minutes").click()
    expect(page.locator(".lead-agreed .lead-wrong")).to_contain_text("which words stand")
    words.fill("A pump is moved")
    expect(asked).to_have_count(0)
    page.get_by_role("button", name="Keep mine instead").click()
    expect(page.get_by_text("Kept for the minutes.")).to_be_visible()
    expect(page.get_by_text("kept there: Theirs")).to_be_hidden()
    with on.facilitator() as other:
        assert other.get("/lead").json()["agreed"]["words"] == "A pump is moved"
