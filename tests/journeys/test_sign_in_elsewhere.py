"""Signing in with an OpenID provider, by a real browser: another site, and back."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser

from slackwater.api.entry import OidcSettings
from slackwater.api.listening import address_of, listen
from slackwater.api.oidc_answers import OUT
from tests.contracts.openid_provider import CLIENT_ID, CLIENT_SECRET, Provider, running
from tests.contracts.small_register import small_working
from tests.contracts.with_accounts import Service


@contextmanager
def served(service: Service) -> Iterator[str]:
    """The service on a real port."""
    with listen("127.0.0.1", 0) as listener:
        listener.listen()
        config = uvicorn.Config(service.app, log_level="error", lifespan="off")
        server = uvicorn.Server(config)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        yield address_of(listener)
        server.should_exit = True
        thread.join(10)


def test_a_browser_comes_back_from_another_site_signed_in(tmp_path: Path, browser: Browser) -> None:
    """Its cookies hold on the way, though the provider is another site; no script reads them."""
    working = small_working(tmp_path / "small.sqlite")
    with running(Provider(), "localhost") as provider:
        settings = OidcSettings(provider.issuer, CLIENT_ID, CLIENT_SECRET)
        with served(Service(working, oidc=settings)) as here:
            page = browser.new_context().new_page()
            page.goto(f"{here}/guide/methods")
            page.evaluate(f"location.href = '{here}{OUT}'")
            page.wait_for_url(f"{here}/")
            told = page.evaluate("fetch('/api/me').then((answer) => answer.json())")
            assert told["name"] == "ada"
            assert "slackwater" not in page.evaluate("document.cookie")
            held = {each["name"]: each for each in page.context.cookies()}
            assert set(held) == {"slackwater"}
            assert (held["slackwater"]["httpOnly"], held["slackwater"]["sameSite"]) == (True, "Lax")
            page.context.close()
    working.close()
