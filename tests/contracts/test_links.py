"""Public links of a shared case: who makes them, what they open, and that they end at once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.api.guards import CONTENT_POLICY
from slackwater.catchment.fields import Visibility
from slackwater.desk.accounts import Accounts
from slackwater.desk.working import Working
from tests.contracts.seeded import Secrets, seeded_small
from tests.contracts.small_register import ended, new_id, working_on
from tests.contracts.with_accounts import Browser, Service

TRIAL = {"weights": {"risk": 500, "overlap": 200, "cost": 300}, "budget": 62_000.0, "way": "best",
         "kept_in": {"A": "SECRET-REASON its owner asked"}}  # fmt: skip
CASE = {"name": "Round <one>", "note": "SECRET-NOTE", "by": "SECRET-MAKER", "trial": TRIAL}


@pytest.fixture(scope="module")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Working, list[Secrets]]]:
    of, planted = seeded_small()
    made = working_on(of.raw(), tmp_path_factory.mktemp("links") / "small.sqlite")
    yield made, [planted[Visibility.PRIVATE], planted[Visibility.AGENCY]]
    made.close()


@pytest.fixture(scope="module")
def service(seeded: tuple[Working, list[Secrets]]) -> Service:
    return Service(seeded[0])


@pytest.fixture(scope="module")
def lead(service: Service) -> Browser:
    return service.browser("ada")


@pytest.fixture(scope="module")
def case_id(lead: Browser) -> str:
    work = ended(lead, "/api/cases", {"id": new_id(), **CASE})
    assert work["state"] == "done", work["error"]
    case_id = str(work["answer"]["id"])
    assert lead.post(f"/api/cases/{case_id}/share").status_code == 200
    return case_id


@pytest.fixture
def address(lead: Browser, case_id: str) -> str:
    made = lead.post(f"/api/cases/{case_id}/links", json={"days": 30})
    assert made.status_code == 200, made.text
    return str(made.json()["address"])


def test_whoever_has_the_link_sees_the_page_without_an_account(
    service: Service, address: str
) -> None:
    """HTML without a script, kept by no cache and no search engine, under the usual policy."""
    answer = service.browser().get(address)
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/html")
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["x-robots-tag"] == "noindex"
    assert answer.headers["referrer-policy"] == "no-referrer"  # or the secret would leave with it
    assert answer.headers["content-security-policy"] == CONTENT_POLICY
    assert "<script" not in answer.text
    assert "Round &lt;one&gt;" in answer.text
    assert "set-cookie" not in answer.headers


def test_its_map_is_given_to_be_saved(service: Service, address: str) -> None:
    """By the address that the page names; an attachment with a safe name."""
    browser = service.browser()
    (named,) = re.findall(r'href="([^"]*map[^"]*)"', browser.get(address).text)
    answer = browser.get(named)
    assert answer.status_code == 200
    assert (
        answer.headers["content-disposition"] == 'attachment; filename="small-river-round-one.html"'
    )
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["content-security-policy"] == CONTENT_POLICY


def test_its_style_sheet_is_there_for_whoever_has_no_account(
    service: Service, address: str
) -> None:
    """Everything that the page asks for."""
    browser = service.browser()
    (sheet,) = re.findall(r'<link rel="stylesheet" href="([^"]*)"', browser.get(address).text)
    assert browser.get(sheet).headers["content-type"].startswith("text/css")


@pytest.mark.parametrize("what", ["", "/map.html"])
def test_no_private_or_agency_value_is_in_any_byte(
    service: Service, address: str, seeded: tuple[Working, list[Secrets]], what: str
) -> None:
    """W17: no planted text, number or column of either kind, no reason, note or maker."""
    answer = service.browser().get(address + what)
    told = answer.text + str(answer.headers)
    assert "SECRET" not in told
    facts = re.sub(r"<svg.*?</svg>|<style>.*?</style>", "", told, flags=re.S)
    if what:  # the library's own script is full of numbers
        facts = re.search(r"const FACTS = (.*);\n", facts)[1]
    for secrets in seeded[1]:
        assert [text for text in secrets.texts if text in told] == []
        assert secrets.found_in(facts) == set()
        assert [
            name for name in secrets.columns if f'"{name}"' in told or f">{name}<" in told
        ] == []
    assert "declined" not in facts
    assert "not in this round" in facts


def test_a_link_that_was_ended_opens_nothing_at_once(
    service: Service, lead: Browser, case_id: str
) -> None:
    """Page and map were read before; neither is there any more, and it is told like any other."""
    made = lead.post(f"/api/cases/{case_id}/links", json={"days": 1}).json()
    other = lead.post(f"/api/cases/{case_id}/links", json={"days": 1}).json()
    browser = service.browser()
    for what in ("", "/map.html"):
        assert browser.get(made["address"] + what).status_code == 200
    assert lead.delete(f"/api/links/{made['id']}").status_code == 204
    never = browser.get("/shared/" + "A" * 43)
    for what in ("", "/map.html"):
        gone = browser.get(made["address"] + what)
        assert gone.status_code == 404
        assert gone.text == never.text
        assert gone.headers["cache-control"] == "no-store"
        assert browser.get(other["address"] + what).status_code == 200
    listed = {each["id"]: each for each in lead.get(f"/api/cases/{case_id}/links").json()["links"]}
    assert listed[made["id"]]["ended_at"]
    assert not listed[other["id"]]["ended_at"]


def test_a_link_past_its_time_is_told_as_one_never_made(
    seeded: tuple[Working, list[Secrets]], service: Service, case_id: str
) -> None:
    """Made two days ago for one day."""
    ago = Accounts(seeded[0].register, clock=lambda: datetime.now(UTC) - timedelta(days=2))
    secret = ago.link_case(case_id, 1, "ada")["secret"]
    browser = service.browser()
    past, never = browser.get(f"/shared/{secret}"), browser.get("/shared/" + "A" * 43)
    assert (past.status_code, past.text) == (404, never.text)


def test_secrets_are_told_once(lead: Browser, case_id: str, address: str) -> None:
    """The list has ids and times, and no address; each link has a secret of its own."""
    secret = address.rpartition("/")[2]
    assert len(secret) >= 43
    told = lead.get(f"/api/cases/{case_id}/links")
    assert told.status_code == 200
    assert secret not in told.text
    again = lead.post(f"/api/cases/{case_id}/links", json={"days": 30}).json()["address"]
    assert again != address


def test_only_a_shared_case_has_links(lead: Browser) -> None:
    """What may still be taken away is not shown to the world; 400 in plain words."""
    work = ended(lead, "/api/cases", {"id": new_id(), **CASE})
    address = f"/api/cases/{work['answer']['id']}/links"
    answer = lead.post(address, json={"days": 30})
    assert answer.status_code == 400
    assert "share" in answer.json()["error"]["message"]
    assert lead.get(address).json() == {"links": []}


@pytest.mark.parametrize("days", [0, 366, -1, 1.5, "7", True])
def test_a_link_holds_for_a_day_to_a_year(lead: Browser, case_id: str, days: object) -> None:
    """Anything else is refused before it is made."""
    answer = lead.post(f"/api/cases/{case_id}/links", json={"days": days})
    assert answer.status_code == 400


@pytest.mark.parametrize("name", ["grace", "vera", "root", ""])
def test_the_lead_alone_makes_and_ends_links(service: Service, case_id: str, name: str) -> None:
    """403 for everybody else who signed in, 401 for nobody."""
    browser, status = service.browser(name), 403 if name else 401
    assert browser.get(f"/api/cases/{case_id}/links").status_code == status
    assert browser.post(f"/api/cases/{case_id}/links", json={"days": 1}).status_code == status
    assert browser.delete(f"/api/links/{new_id()}").status_code == status


def test_a_link_opens_nothing_else(service: Service, address: str) -> None:
    """Its secret is no session and no token."""
    secret = address.rpartition("/")[2]
    browser = service.browser(Authorization=f"Bearer {secret}")
    browser.cookies.set("slackwater", secret)
    assert browser.get("/api/catchment").status_code == 401
    assert service.browser().get(f"{address}/../../api/catchment").status_code in {401, 404}


def test_without_accounts_there_are_no_links(seeded: tuple[Working, list[Secrets]]) -> None:
    """404 both where they are made and where they would lead."""
    browser = Browser(create_app(seeded[0], Entry()), base_url="http://127.0.0.1")
    assert browser.get("/shared/" + "A" * 43).status_code == 404
    assert browser.get(f"/api/cases/{new_id()}/links").status_code == 404
