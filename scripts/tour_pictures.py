"""Takes the pictures of the README's tour from the running demo."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "demo_data" / "tour"
COLOURS = 256
CALM = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]


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
        browser = browsers.chromium.launch(executable_path="/usr/bin/chromium", args=CALM)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
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
        phone = browser.new_page(viewport={"width": 390, "height": 844})
        phone.goto(address)
        phone.get_by_text("LN-118").first.wait_for()
        save(phone, "phone")
        browser.close()


def main() -> None:
    """Serve the demo, take the pictures, end the service."""
    PICTURES.mkdir(exist_ok=True)
    command = [
        sys.executable,
        "-m",
        "slackwater.cli",
        "serve",
        "demo_data/lantern.gpkg",
        "--port",
        "0",
    ]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as service:
        assert service.stdout is not None
        take(service.stdout.readline().split()[-1])
        service.terminate()


if __name__ == "__main__":
    main()
