"""Scripts that somebody wrote into labels, names and reasons run on no page, in a real browser.

Source: OWASP ASVS 4.0.3, 5.3.3 and 14.4.3; CSP Level 3; CWE-79.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from slackwater.api.calling import Known
from slackwater.api.entry import Entry
from tests.contracts.attacks.scripts_stored import NAME, SCRIPTS, Stored, stored
from tests.journeys.conftest import serving
from tests.journeys.people.roaming import own_browser, roamed

MADE = "img[src='x'], [onerror], [onload], iframe, svg[onload], script:not([src])"


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Stored, str]]:
    """An agency with scripts in everything that can be written."""
    with stored(tmp_path_factory.mktemp("stored")) as made, pytest.MonkeyPatch.context() as patch:
        patch.setattr(Known, "_too_many", lambda *_: None)
        entry = Entry(accounts=made.service.accounts, public_map=True)
        with serving(made.service.working, entry) as address:
            yield made, address


def assert_nothing_ran(page: Page) -> None:
    """Require that no script ran and that there is no element that one would need."""
    assert page.evaluate("window.pwned") is None
    assert page.locator(MADE).count() == 0


@pytest.mark.parametrize(
    "who", ["lead person", *(pytest.param(who, marks=pytest.mark.long) for who in (NAME, ""))]
)
def test_no_script_runs_and_text_is_text(
    browser: Browser, tmp_path: Path, place: tuple[Stored, str], who: str
) -> None:
    """Every part of the page opened, as the lead, as somebody whose own name is a script, as
    nobody."""
    made, address = place
    with own_browser(browser, tmp_path) as (context, told):
        if who:
            secret = made.service.accounts.begin(who, "password")
            context.add_cookies([{"name": "slackwater", "value": secret, "url": address}])
        page = roamed(context, told, address)
        assert_nothing_ran(page)
        assert told.pressed >= 5
    refused = [
        each for each in told.console if "Content Security Policy" in each or "Refused" in each
    ]
    assert refused == []  # nothing was stopped by the policy, for nothing came that far
    assert told.dialogs == []
    shown = "\n".join(told.page[1::4])
    assert [each for each in SCRIPTS if each in shown], "no text was shown as it was written"


def test_paper_and_saved_files_run_nothing(
    browser: Browser, tmp_path: Path, place: tuple[Stored, str]
) -> None:
    """Printed pages as the service shows them, the map as a file from the disk, where no policy of
    the service's protects it."""
    made, address = place
    with own_browser(browser, tmp_path / "browser") as (context, _):
        secret = made.service.accounts.begin("lead person", "password")
        context.add_cookies([{"name": "slackwater", "value": secret, "url": address}])
        page = context.pages[0]
        for path in (f"/print/fund/{made.case}", f"/print/board/{made.case}",
                     f"/print/landholder/{made.case}/A", f"/shared/{made.link}",
                     f"/print/run/{made.run}"):  # fmt: skip
            assert page.goto(f"{address}{path}").status == 200  # type: ignore[union-attr]
            assert_nothing_ran(page)
            assert "pwned" in page.inner_text("body"), path
        answer = context.request.get(f"{address}/files/{made.case}.html?version=private")
        file = tmp_path / "map.html"
        file.write_bytes(answer.body())
        page.goto(file.as_uri())
        page.locator(".offtake").first.wait_for()
        page.locator(".offtake").first.click(force=True)
        page.wait_for_timeout(300)
        assert page.evaluate("window.pwned") is None
        assert page.locator("img[src='x'], [onerror], [onload], iframe").count() == 0
