"""What people with accounts meet is taken down again whole."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser

from tests.journeys.people.entering import Place, hold_session
from tests.journeys.taken_down import ALL_BUT_TILES, bundled, require_nothing_left
from tests.journeys.test_map import COUNT_LISTENERS, DESK, open_page


def test_sheets_and_the_way_in_can_be_taken_down(
    browser: Browser, shown_place: Place, tmp_path: Path
) -> None:
    """Fifty times mounted, opened and disposed, they leave no node and no listener."""
    context = browser.new_context(viewport=DESK, bypass_csp=True)
    page = context.new_page()
    page.add_init_script(COUNT_LISTENERS)
    hold_session(context, shown_place, "root")
    open_page(page, shown_place.address)
    require_nothing_left(page, bundled("mount_sheets", tmp_path), "mountSheets", ALL_BUT_TILES)
    context.close()
