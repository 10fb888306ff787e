"""Trips to a provider and back, and what a refused one looks like."""

from __future__ import annotations

from typing import Any

import httpx

from slackwater.api.entry import OidcSettings
from slackwater.desk.working import Working
from tests.contracts.openid_provider import CLIENT_ID, CLIENT_SECRET, Provider
from tests.contracts.with_accounts import Browser, Service

OUT, BACK = "/api/sign-in/oidc", "/api/sign-in/oidc/back"


def service_of(working: Working, provider: Provider, **more: Any) -> Service:
    """The service that believes a provider."""
    claim = more.pop("name_claim", "preferred_username")
    settings = OidcSettings(provider.issuer, CLIENT_ID, CLIENT_SECRET, claim)
    return Service(working, oidc=settings, **more)


def sent_back(browser: Browser) -> str:
    """Go out to the provider, sign in there, and give where the browser is sent back to."""
    out = browser.get(OUT)
    assert out.status_code == 303, out.text
    back = httpx.get(out.headers["location"])
    assert back.status_code == 302, back.text
    return str(back.headers["location"])


def require_refused(browser: Browser, answer: Any, said: str = "") -> None:
    """Refused on a page without a script; nobody is signed in."""
    assert answer.status_code == 401
    assert answer.headers["content-type"].startswith("text/html")
    assert "<script" not in answer.text
    assert said in answer.text
    assert "slackwater" not in browser.cookies
    assert browser.me()["name"] == ""
