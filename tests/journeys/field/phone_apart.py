"""A phone in a process of its own, whose browser keeps its profile and can be killed from outside.

It is told what to do by lines of JSON and answers each with one, once the phone's store holds it.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[3]))

from tests.conftest import CHROMIUM, QUIET
from tests.journeys.field.at_bank import all_sent, assert_badge_true, outbox
from tests.journeys.test_map import PHONE


def act(page: Page, asked: dict[str, Any]) -> Any:
    """Do one thing, and say what came of it."""
    match asked["do"]:
        case "take":
            page.goto(asked["at"])
            page.get_by_role("button", name="Take offline").click()
            expect(page.locator(".held-all")).to_contain_text("read back", timeout=30_000)
        case "offline":
            page.context.set_offline(asked["on"])
        case "open":
            page.goto(asked["at"])
            page.locator("[data-field=plate_capacity]").wait_for()
            return assert_badge_true(page)
        case "begin":
            page.locator(f"#f-{asked['field']}").fill("")
            page.locator(f"#f-{asked['field']}").focus()
        case "letter":
            page.keyboard.type(asked["letter"])
            while not any(each["typed"] == asked["typed"] for each in outbox(page)["writing"]):
                page.wait_for_timeout(5)
        case "send":
            all_sent(page)
            return assert_badge_true(page)
    return None


def main(profile: str) -> None:
    """Open the phone and do as told until nothing more is."""
    with sync_playwright() as player:
        context = player.chromium.launch_persistent_context(
            profile, executable_path=CHROMIUM, args=QUIET, viewport=PHONE, reduced_motion="reduce"
        )
        page = context.pages[0]
        for line in sys.stdin:
            said = act(page, json.loads(line))
            print(json.dumps({"said": said}), flush=True)
        context.close()


if __name__ == "__main__":
    main(sys.argv[1])
