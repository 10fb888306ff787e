"""How does a browser hold its session? One cookie that scripts and other sites do not get.

Held to: OWASP ASVS 4.0.3, 3.4.1 (Secure, where a proxy serves https), 3.4.2 (HttpOnly), 3.4.3
(SameSite), 3.4.5 (Path).
"""

from __future__ import annotations

from fastapi import Response

from slackwater.api.calling import COOKIE
from slackwater.api.entry import Entry

WEEK_S = 7 * 24 * 3600
"""The service ends a session no later; a browser need not hold it longer."""


def give_session(answer: Response, secret: str, entry: Entry) -> None:
    """Let the browser hold a session's secret."""
    answer.set_cookie(
        COOKIE,
        secret,
        max_age=WEEK_S,
        path="/",
        secure=bool(entry.outside),
        httponly=True,
        samesite="lax",
    )


def take_session(answer: Response, entry: Entry) -> None:
    """Let the browser forget it."""
    answer.delete_cookie(
        COOKIE, path="/", secure=bool(entry.outside), httponly=True, samesite="lax"
    )
