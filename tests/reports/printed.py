"""A page as it comes out of a printer: its PDF by a real browser, its text, its pictures."""

from __future__ import annotations

import re
from dataclasses import dataclass
from io import BytesIO

from playwright.sync_api import Browser
from pypdf import PdfReader

from slackwater.reports.printing import look


@dataclass(frozen=True)
class Printed:
    """A printed document.

    Attributes
    ----------
    pages : text of each page, spaces made plain.
    """

    pdf: bytes
    pages: tuple[str, ...]

    @property
    def text(self) -> str:
        """All of its text."""
        return "\n".join(self.pages)


def print_to_pdf(browser: Browser, html: str) -> Printed:
    """Print a page on A4, its own style sheet given and nothing else let through."""
    page = browser.new_page()
    asked: list[str] = []

    def answer(route):
        asked.append(route.request.url)
        if route.request.url.endswith("/print/look.css"):
            route.fulfill(body=look(), content_type="text/css")
        elif route.request.url.endswith("/print/page"):
            route.fulfill(body=html, content_type="text/html; charset=utf-8")
        else:
            route.abort()

    page.route("**/*", answer)
    page.goto("http://127.0.0.1:9/print/page")
    pdf = page.pdf(prefer_css_page_size=True)
    page.close()
    assert {url.rpartition("/")[2] for url in asked} <= {"page", "look.css"}, asked
    reader = PdfReader(BytesIO(pdf))
    assert {tuple(round(float(s)) for s in p.mediabox[2:]) for p in reader.pages} == {(595, 842)}
    return Printed(pdf, tuple(plain(page.extract_text()) for page in reader.pages))


def plain(text: str) -> str:
    """Make every run of spaces one plain space, and put words broken over lines together."""
    return re.sub(r"\s+", " ", text)
