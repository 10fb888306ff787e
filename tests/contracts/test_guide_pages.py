"""The guide in the browser: every page, an anchor at every heading, nothing from elsewhere."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from starlette.testclient import TestClient

from slackwater.guide.html import MARKDOWN, anchor_of, page_html
from slackwater.guide.pages import PAGES, page
from tests.contracts.invented_views import client_of
from tests.contracts.small_view import small_view


class Reading(HTMLParser):
    """Collects ids, links and tags of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            self.attributes.append(name)
            if name == "id":
                self.ids.append(value or "")
            if name in ("href", "src"):
                self.links.append(value or "")


@pytest.fixture(scope="module")
def client() -> TestClient:
    return client_of(small_view())


def test_the_guide_lists_its_pages(client: TestClient) -> None:
    """Each page is listed with its title and opens at its address."""
    pages = client.get("/api/guide").json()["pages"]
    assert [each["page"] for each in pages] == list(PAGES)
    for each in pages:
        answer = client.get(each["address"])
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "text/html; charset=utf-8"
        assert "<h1 id=" in answer.text
        assert each["title"] in answer.text


def test_the_guide_alone_leads_to_the_methods(client: TestClient) -> None:
    """Its bare address goes on to the first page."""
    answer = client.get("/guide", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (307, "/guide/methods")


@pytest.mark.parametrize("name", PAGES)
def test_every_heading_has_an_anchor_of_its_own(client: TestClient, name: str) -> None:
    """Each heading of the text can be linked to, and every link leads somewhere."""
    reading = Reading(client.get(f"/guide/{name}").text)
    headings = [line for line in page(name).splitlines() if re.match(r"#{1,4} ", line)]
    anchors = [each for each in reading.ids if each != "content"]
    assert len(anchors) == len(headings) == len(set(anchors))
    for link in reading.links:
        if link.startswith("#"):
            assert link[1:] in reading.ids
        else:
            assert client.get(link.partition("#")[0]).status_code in (
                200,
                404 if link == "/" else 0,
            )


def test_a_section_is_linked_by_its_number_and_words() -> None:
    """The why panel's link to the score's section lands on it."""
    assert anchor_of("9 Score and rank") == "9-score-and-rank"
    assert '<h2 id="9-score-and-rank">9 Score and rank</h2>' in page_html("methods")


@pytest.mark.parametrize("name", PAGES)
def test_a_page_asks_for_nothing_from_elsewhere_and_runs_nothing(
    client: TestClient, name: str
) -> None:
    """No script, no inline style, no foreign link; the policy of the service holds for it."""
    answer = client.get(f"/guide/{name}")
    reading = Reading(answer.text)
    assert not {"script", "style", "img", "iframe", "form"} & set(reading.tags)
    assert "style" not in reading.attributes
    assert not [link for link in reading.links if "//" in link]
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_markup_in_a_page_is_text() -> None:
    """What looks like HTML in the Markdown is shown, not obeyed."""
    assert "<b>" not in MARKDOWN.render("a <b>bold</b> word")


def test_the_tables_of_the_data_page_are_tables(client: TestClient) -> None:
    """Every table of the contract is one in the page, and a wide one scrolls by keys."""
    text = client.get("/guide/data").text
    assert text.count('<table tabindex="0">') == page("data").count("\n| --- ") >= 16


def test_the_style_sheet_is_its_own(client: TestClient) -> None:
    """The look comes from this service as a style sheet and fetches nothing."""
    answer = client.get("/guide/look.css")
    assert answer.headers["content-type"].startswith("text/css")
    assert "url(" not in answer.text
    assert "@import" not in answer.text


def test_an_unknown_page_is_not_found(client: TestClient) -> None:
    """The one error shape, and nothing of what was asked for."""
    answer = client.get("/guide/QQXX")
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "not_found")
    assert "QQXX" not in answer.text
