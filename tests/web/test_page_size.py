"""The page's code is small: everything that runs before the first draw, Leaflet included."""

from __future__ import annotations

import gzip

from slackwater.api.page import PAGE_FOLDER

MOST_CODE_KB = 90


def test_the_code_with_leaflet_is_at_most_90_kb_gzipped() -> None:
    """What is built and served, gzipped."""
    scripts = list((PAGE_FOLDER / "assets").glob("*.js"))
    assert scripts, "the page is not built; scripts/setup builds it"
    kilobytes = sum(len(gzip.compress(each.read_bytes(), 9)) for each in scripts) / 1000
    assert kilobytes <= MOST_CODE_KB
