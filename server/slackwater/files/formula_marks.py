"""How does a text stay one in a CSV that a spreadsheet opens? By an apostrophe before it.

Source: OWASP, CSV Injection: a cell that begins with one of these is evaluated; with an apostrophe
before it, it is shown. One more apostrophe is put and one is taken, so what is read is what was
written, also where it began with apostrophes of its own.
"""

from __future__ import annotations

import re
from typing import Any

MARK = "'"
BEGINS_AS_FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
MARKED = re.compile(r"'+[=+\-@\t\r\n]")


def marked(cell: Any) -> Any:
    """Give a cell as it is written: text that begins as a formula does with a mark before it."""
    is_text = isinstance(cell, str)
    return f"{MARK}{cell}" if is_text and BEGINS_AS_FORMULA.match(cell) else cell


def unmarked(text: str) -> str:
    """Give the text of a cell that was read, without the mark."""
    return text[1:] if MARKED.match(text) else text
