"""What people with accounts meet is taken down again whole."""

from __future__ import annotations

import subprocess
from pathlib import Path

from playwright.sync_api import Browser

from tests.journeys.people.entering import Place, hold_session
from tests.journeys.test_map import COUNT_LISTENERS, DESK, open_page
from tests.web.test_page_source import WEB


def test_sheets_and_the_way_in_can_be_taken_down(
    browser: Browser, shown_place: Place, tmp_path: Path
) -> None:
    """Fifty times mounted, opened and disposed, they leave no node and no listener."""
    bundle = tmp_path / "mount_sheets.js"
    esbuild = WEB / "node_modules" / "esbuild" / "bin" / "esbuild"
    entry = WEB / "test" / "mount_sheets.ts"
    subprocess.run(
        [
            esbuild, entry, "--bundle", "--format=iife", "--global-name=again",
            "--loader:.css=text", f"--outfile={bundle}",
        ],
        check=True, capture_output=True,
    )  # fmt: skip
    context = browser.new_context(viewport=DESK, bypass_csp=True)
    page = context.new_page()
    page.add_init_script(COUNT_LISTENERS)
    hold_session(context, shown_place, "root")
    open_page(page, shown_place.address)
    page.add_script_tag(path=str(bundle))
    page.evaluate("again.mountSheets(2)")
    count = "[document.querySelectorAll(':not(canvas)').length, listening.count]"  # tiles come late
    before = page.evaluate(count)
    page.evaluate("again.mountSheets(50)")
    assert page.evaluate(count) == before
    context.close()
