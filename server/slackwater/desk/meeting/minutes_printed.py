"""How do minutes come to be read? As a page and as a PDF, from what was kept and nothing else."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from hashlib import sha256
from threading import Lock
from typing import Any

from slackwater.desk.kept_answers import KeptAnswers
from slackwater.reports.minutes import minutes_html, minutes_of
from slackwater.reports.minutes_pdf import LOOK, can_print, minutes_pdf

__all__ = ["can_print", "minutes_file", "minutes_name", "minutes_page"]
MOST_KEPT = 8
LONGEST_NAME = 60
_kept = KeptAnswers(MOST_KEPT)
_making = Lock()


def minutes_page(kept: Mapping[str, Any], look_address: str, pdf_address: str) -> str:
    """Give the minutes as a whole page of HTML.

    Parameters
    ----------
    pdf_address : "" where no PDF can be made.
    """
    return minutes_html(minutes_of(kept), look_address, pdf_address)


def minutes_file(kept: Mapping[str, Any]) -> bytes:
    """Give the minutes as a PDF; one is made at a time, and the last few are kept.

    Raises
    ------
    NoPdf
        Where the libraries it takes are missing.
    """
    key = sha256(json.dumps(kept, sort_keys=True).encode()).hexdigest()
    with _making:
        made: bytes = _kept.give(key, lambda: minutes_pdf(minutes_page(kept, LOOK, "")))
        return made


def minutes_name(kept: Mapping[str, Any], ending: str) -> str:
    """Give a file name that is safe on every disk and in every header."""
    day = kept["ended_at"][:10]
    words = re.findall(r"[a-z0-9]+", f"minutes {kept['stamp']['case_name']}".lower())
    return f"{'-'.join(words)[:LONGEST_NAME].strip('-')}-{day}.{ending}"
