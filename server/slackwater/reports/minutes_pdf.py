"""How does a page become a PDF? By WeasyPrint, which is given the style sheet and nothing else.

It needs Pango and HarfBuzz of the system, which pip does not bring; where they are missing the page
is printed from a browser. No address is ever fetched: neither a file nor another machine.
"""

from __future__ import annotations

import logging
import re
from functools import cache
from importlib import import_module, resources
from typing import Any

from slackwater.errors import NotHere
from slackwater.reports.printing import ROOM, look

LOOK = "look:minutes"
"""Under which name the page asks for its style sheet, when it is made for a PDF."""
DRAWN = ("map.css", "minutes.css")
"""What drawings take from the style sheet."""
UNLIKE = (
    ".names text { stroke: none } "
    'text { font-family: "Liberation Sans", "Segoe UI", system-ui, sans-serif }'
)
"""The library strokes letters over their ink, and gives drawings no letter of the page's."""
PRINT_IT = (
    "No PDF can be made on this machine: WeasyPrint, Pango or HarfBuzz is missing. Print the page "
    "from the browser’s menu instead; it is made for A4."
)


class NoPdf(NotHere):
    """No PDF can be made on this machine; says what to do instead."""

    def __init__(self) -> None:
        super().__init__(PRINT_IT)


def can_print() -> bool:
    """Whether a PDF can be made on this machine."""
    return _weasyprint() is not None


def minutes_pdf(html: str) -> bytes:
    """Give a page, made with `LOOK` as its style sheet's address, as a tagged PDF.

    Raises
    ------
    NoPdf
        Where the libraries it takes are missing.
    """
    maker = _weasyprint()
    if maker is None:
        raise NoPdf
    document = maker.HTML(string=_drawings_styled(html), base_url="", url_fetcher=_fetcher(maker))
    pdf: bytes = document.write_pdf(pdf_variant="pdf/ua-1")
    return pdf


def _drawings_styled(html: str) -> str:
    """Write the style into each drawing: the library reads a page's style sheet outside them alone.

    Only a template can begin a drawing; what people wrote is escaped.
    """
    folder = resources.files(ROOM).joinpath("look")
    style = "".join(folder.joinpath(name).read_text(encoding="utf-8") for name in DRAWN)
    return re.sub(r"<svg\b[^>]*>", lambda svg: f"{svg[0]}<style>{style}{UNLIKE}</style>", html)


def _fetcher(maker: Any) -> Any:
    """Give what answers when the page asks for something: its style sheet, once named rightly."""

    class StyleSheetAlone(maker.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:  # noqa: ARG002
            if url != LOOK:
                raise ValueError("only the page's own style sheet is given")
            return maker.urls.URLFetcherResponse(url, look().encode(), {"Content-Type": "text/css"})

    return StyleSheetAlone()


@cache
def _weasyprint() -> Any:
    """Give the library, None where it or what it stands on is not here; loading takes a second."""
    try:
        weasyprint = import_module("weasyprint")
    except (ImportError, OSError):  # OSError: installed, but a library of the system is missing
        return None
    logging.getLogger("weasyprint").propagate = False  # it tells of each rule that is the browser's
    return weasyprint
