"""How does a page of the guide look in a browser? HTML from its Markdown, anchors at headings."""

from __future__ import annotations

import re
from html import escape
from importlib import resources
from itertools import pairwise

from markdown_it import MarkdownIt
from markdown_it.token import Token

from slackwater.guide.pages import PAGES, page

HEADINGS_LISTED = "h2"
MARKDOWN = MarkdownIt("commonmark", {"html": False}).enable("table")


def title_of(name: str) -> str:
    """Give a page's title, its first heading."""
    return page(name).partition("\n")[0].removeprefix("# ").strip()


def look() -> str:
    """Give the style sheet of the pages."""
    return resources.files(__package__).joinpath("look.css").read_text(encoding="utf-8")


def page_html(name: str) -> str:
    """Give a page as a whole HTML document that asks for its style sheet alone.

    Raises
    ------
    KeyError
        For a page that is not in `PAGES`.
    """
    tokens = MARKDOWN.parse(page(name))
    headings = _anchor(tokens)
    _make_tables_scroll(tokens)
    body = MARKDOWN.renderer.render(tokens, MARKDOWN.options, {})
    title = escape(title_of(name))
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<title>{title} - Slackwater guide</title>\n<link rel="stylesheet" href="/guide/look.css">'
        '\n</head>\n<body>\n<a class="skip" href="#content">Skip to the text</a>\n'
        f'<nav aria-label="Guide">{_links(name)}</nav>\n{_contents(headings)}'
        f'<main id="content">\n{body}</main>\n</body>\n</html>\n'
    )


def anchor_of(heading: str) -> str:
    """Give a heading's anchor: lower case, words joined by hyphens."""
    return "-".join(re.findall(r"\w+", heading.lower()))


def _anchor(tokens: list[Token]) -> list[tuple[str, str]]:
    """Put an id on every heading; give (anchor, words) of those that are listed."""
    listed, used = [], {"content": 1}
    for token, inside in pairwise(tokens):
        if token.type != "heading_open":
            continue
        words = "".join(part.content for part in inside.children or ())
        anchor = anchor_of(words)
        used[anchor] = used.get(anchor, 0) + 1
        if used[anchor] > 1:
            anchor = f"{anchor}-{used[anchor]}"
        token.attrSet("id", anchor)
        if token.tag == HEADINGS_LISTED:
            listed.append((anchor, words))
    return listed


def _make_tables_scroll(tokens: list[Token]) -> None:
    """Let a wide table scroll on its own and by keys, so that the page does not."""
    for token in tokens:
        if token.type == "table_open":
            token.attrSet("tabindex", "0")


def _links(here: str) -> str:
    links = "".join(
        f'<li><a href="/guide/{name}"{_current(name, here)}>{escape(title_of(name))}</a></li>'
        for name in PAGES
    )
    return f'<ul><li><a href="/">Map</a></li>{links}</ul>'


def _current(name: str, here: str) -> str:
    return ' aria-current="page"' if name == here else ""


def _contents(headings: list[tuple[str, str]]) -> str:
    if not headings:
        return ""
    links = "".join(
        f'<li><a href="#{anchor}">{escape(words)}</a></li>' for anchor, words in headings
    )
    return f'<nav class="contents" aria-label="On this page"><ul>{links}</ul></nav>\n'
