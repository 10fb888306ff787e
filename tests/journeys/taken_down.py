"""What is mounted again and again and disposed leaves nothing in the page: how that is counted."""

from __future__ import annotations

import subprocess
from pathlib import Path

from playwright.sync_api import Page

from tests.web.test_page_source import WEB

ALL = "*"
ALL_BUT_TILES = ":not(canvas)"
"""Tiles of the rivers come late."""


def bundled(name: str, folder: Path) -> Path:
    """Bundle an entry of the page's own tests for the browser; it is ``again`` there."""
    esbuild = WEB / "node_modules" / "esbuild" / "bin" / "esbuild"
    bundle = folder / f"{name}.js"
    subprocess.run(
        [
            esbuild, WEB / "test" / f"{name}.ts", "--bundle", "--format=iife",
            "--global-name=again", "--loader:.css=text", f"--outfile={bundle}",
        ],
        check=True, capture_output=True,
    )  # fmt: skip
    return bundle


def require_nothing_left(page: Page, bundle: Path, mount: str, counted: str) -> None:
    """Mount and dispose fifty times by a function of the bundle: no node and no listener more.

    The page counts its listeners (`tests.journeys.test_map.COUNT_LISTENERS`).
    """
    page.add_script_tag(path=str(bundle))
    page.evaluate(f"again.{mount}(2)")
    count = f"[document.querySelectorAll('{counted}').length, listening.count]"
    before = page.evaluate(count)
    page.evaluate(f"again.{mount}(50)")
    assert page.evaluate(count) == before
