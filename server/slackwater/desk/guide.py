"""Read the guide."""

from __future__ import annotations

from slackwater.errors import UsageError
from slackwater.guide.pages import PAGES, page


def guide_page(name: str) -> str:
    """Give a page of the guide as Markdown.

    Raises
    ------
    UsageError
        Where there is no such page.
    """
    if name not in PAGES:
        raise UsageError(f"no page {name!r} in the guide; there are: {', '.join(PAGES)}")
    return page(name)
