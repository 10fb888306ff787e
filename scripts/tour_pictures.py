"""Takes the pictures of the README's tour from the running demo."""

from __future__ import annotations

import io
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import httpx
from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "demo_data" / "tour"
COLOURS = 256
CHROMIUM = "/usr/bin/chromium-headless-shell"
WEIGHED = [(8, 1, 3), (9, 2, 2), (6, 2, 4), (7, 0, 3), (5, 3, 5), (8, 2, 1), (6, 1, 6), (9, 1, 2)]
"""Entrainment risk, season overlap and low cost, as eight invented phones weigh them."""
CALM = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


def save(page: Page, name: str) -> None:
    """Save what the page shows, in few enough colours to stay small, the rare ones among them."""
    page.wait_for_timeout(900)
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    picture.quantize(COLOURS, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE).save(
        PICTURES / f"{name}.png", optimize=True
    )


def take(address: str) -> None:
    """Walk through the page as the README does."""
    with sync_playwright() as browsers:
        browser = browsers.chromium.launch(executable_path=CHROMIUM, args=CALM)
        desk = browser.new_context(viewport={"width": 1440, "height": 900})
        page = desk.new_page()
        page.goto(address)
        page.get_by_text("LN-118").first.wait_for()
        save(page, "list")
        page.get_by_role("button", name="Weights and budget").click()
        save(page, "weights")
        page.get_by_role("button", name="Weights and budget").click()
        page.get_by_text("LN-150").first.click()
        save(page, "why")
        page.keyboard.press("Escape")
        page.get_by_role("radio", name="Best set").click()
        page.get_by_text(re.compile(r"\d+ close calls?$")).first.wait_for(timeout=120_000)
        save(page, "best_set")
        page.locator("#tab-money").click()
        page.locator(".curve-line").first.wait_for(timeout=120_000)
        save(page, "money")
        page.locator("#tab-list").click()
        correct(page)
        paper = print_a_case(page)
        save(paper, "paper")
        paper.close()
        wall = browser.new_page(viewport={"width": 1920, "height": 1080})
        wall.goto(meeting_on_the_case(address))
        wall.get_by_text("weightings tried").first.wait_for()
        save(wall, "wall")
        wall.close()
        phone = browser.new_page(viewport={"width": 390, "height": 844})
        phone.goto(address)
        phone.get_by_text("LN-118").first.wait_for()
        save(phone, "phone")
        browser.close()


def correct(page: Page) -> None:
    """Open the form that corrects an offtake, with a change in it that is checked."""
    page.get_by_text("LN-150").first.click()
    page.get_by_role("button", name="Correct or fill in").click()
    form = page.get_by_role("dialog", name="Correct LN-150")
    form.get_by_label("Largest draw").fill("20")
    form.get_by_label("Reason, kept in the history").fill("plate read at the visit of 12 November")
    form.get_by_role("button", name="Check").click()
    save(page, "correct")
    form.get_by_role("button", name="Start again").click()
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")


def print_a_case(page: Page) -> Page:
    """Save what is tried as a case and give its fund page."""
    page.get_by_role("button", name="Cases").click()
    cases = page.get_by_role("dialog", name="Cases")
    cases.get_by_role("button", name="Fund page").click()
    cases.get_by_label("Name").fill("Round of 2027")
    page.keyboard.press("Enter")
    link = cases.get_by_role("link", name="Fund page").first
    link.wait_for(timeout=120_000)
    paper = page.context.new_page()
    paper.set_viewport_size({"width": 900, "height": 1120})
    paper.goto(link.evaluate("link => link.href"))
    return paper


def meeting_on_the_case(address: str) -> str:
    """Open a meeting on the saved case, with invented phones; give the wall's address."""
    with httpx.Client(base_url=address, timeout=120) as lead:
        case = lead.get("/api/cases").json()["cases"][0]["id"]
        lead.post(f"/api/cases/{case}/share").raise_for_status()
        asked = {"case_id": case, "hours": 1}
        meeting = lead.post("/api/meetings", json=asked).raise_for_status().json()
        here = f"/api/meet/{meeting['code']}"
        for risk, overlap, cost in WEIGHED:
            phone = lead.post(f"{here}/join", json={}).raise_for_status().json()["phone"]
            mine = {"levels": {"risk": risk, "overlap": overlap, "cost": cost}, "group": ""}
            lead.put(
                f"{here}/mine", json=mine, headers={"X-Slackwater-Phone": phone}
            ).raise_for_status()
        key = {"X-Slackwater-Key": meeting["key"]}
        lead.put(f"{here}/lead/step", json={"step": "room"}, headers=key).raise_for_status()
    return f"{address}{meeting['wall']}"


def main() -> None:
    """Serve the demo from a database, take the pictures, end the service."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        database = f"{folder}/lantern.sqlite"
        program = [sys.executable, "-m", "slackwater.cli"]
        made = [*program, "import", "demo_data/lantern.gpkg", "--database", database]
        subprocess.run(made, check=True, cwd=ROOT, capture_output=True)
        command = [*program, "serve", "--database", database, "--port", "0"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as service:
            assert service.stdout is not None
            take(service.stdout.readline().split()[-1])
            service.terminate()


if __name__ == "__main__":
    main()
