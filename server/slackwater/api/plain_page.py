"""What does a person see where something is refused outside the page? A sentence, no script."""

from __future__ import annotations

from html import escape

from fastapi.responses import HTMLResponse

LOOK = "/print/look.css"
KEPT_BY_NOBODY = {"Cache-Control": "no-store", "X-Robots-Tag": "noindex"}
"""Of what a secret address leads to."""


def plain_page(
    title: str, sentence: str, status: int, *, way_on: str = "", look: str = LOOK
) -> HTMLResponse:
    """Give a page of one sentence; ``way_on`` names the link to the map, "" for none."""
    link = f'<p class="sure"><a href="/">{escape(way_on)}</a></p>' if way_on else ""
    words = sentence[:1].upper() + sentence[1:].rstrip(".") + "."
    return HTMLResponse(
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n"
        f'<link rel="stylesheet" href="{look}">\n</head>\n<body>\n<main class="sheet">\n'
        f'<header class="head"><h1>{escape(title)}</h1></header>\n'
        f'<p class="headline">{escape(words)}</p>\n{link}\n</main>\n</body>\n</html>\n',
        status,
    )
