"""The page's code is small: everything that runs before the first draw, Leaflet included."""

from __future__ import annotations

import gzip
import re

from slackwater.api.page import PAGE_FOLDER

MOST_CODE_KB = 90


def test_the_code_with_leaflet_is_at_most_90_kb_gzipped() -> None:
    """What the page asks for before its first picture, gzipped."""
    index = PAGE_FOLDER / "index.html"
    assert index.is_file(), "the page is not built; scripts/setup builds it"
    scripts = {
        PAGE_FOLDER / "assets" / name
        for name in re.findall(r"/assets/([\w-]+\.js)", index.read_text("utf-8"))
    }
    assert scripts
    kilobytes = sum(len(gzip.compress(each.read_bytes(), 9)) for each in scripts) / 1000
    assert kilobytes <= MOST_CODE_KB
