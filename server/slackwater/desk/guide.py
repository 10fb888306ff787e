"""Read the guide, on a terminal or in a browser."""

from __future__ import annotations

from slackwater.errors import UsageError
from slackwater.guide.html import look, page_html, title_of
from slackwater.guide.pages import PAGES, page


def guide_page(name: str) -> str:
    """Give a page of the guide as Markdown.

    Raises
    ------
    UsageError
        Where there is no such page.
    """
    _must_be_a_page(name)
    return page(name)


def guide_html(name: str) -> str:
    """Give a page of the guide as an HTML document.

    Raises
    ------
    UsageError
        Where there is no such page.
    """
    _must_be_a_page(name)
    return page_html(name)


def guide_pages() -> list[dict[str, str]]:
    """Give the pages in the order they are read: name, title and address."""
    return [{"page": name, "title": title_of(name), "address": f"/guide/{name}"} for name in PAGES]


def guide_look() -> str:
    """Give the style sheet of the HTML pages."""
    return look()


def _must_be_a_page(name: str) -> None:
    if name not in PAGES:
        raise UsageError(f"no page {name!r} in the guide; there are: {', '.join(PAGES)}")
