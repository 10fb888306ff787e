"""The stand-alone map: one file, opened in a real browser without any network."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page
from shapely import Point

from slackwater.desk.paper.map_file import stand_alone_map
from slackwater.desk.showing import Shown
from slackwater.desk.visibility import Viewer
from slackwater.reports.map_file import script_json, without_pictures
from tests.catchment.small import small
from tests.contracts.seeded import view_of
from tests.reports.cases import case_of, demo_best, demo_by_score
from tests.reports.printed import plain
from tests.reports.secrets_of import seeded_case

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
FETCHING = {"src", "href", "data", "action", "poster", "srcset", "formaction", "background"}


class Fetched(HTMLParser):
    """Every address that a browser would fetch or go to by itself."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []

    def handle_starttag(self, _tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.addresses += [value or "" for name, value in attrs if name in FETCHING]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's best set, public."""
    path = tmp_path_factory.mktemp("map") / "map.html"
    path.write_bytes(stand_alone_map(demo_best(), Viewer.PUBLIC, NOW))
    return path


@contextmanager
def opened(browser: Browser, file: Path) -> Iterator[tuple[Page, list[str]]]:
    """Open a file with the network off; what goes wrong and what is asked for is noted."""
    context = browser.new_context(offline=True, viewport={"width": 1100, "height": 750})
    page, noted = context.new_page(), list[str]()
    page.on("console", lambda message: noted.append(message.text))
    page.on("pageerror", lambda error: noted.append(str(error)))
    page.on("request", lambda request: noted.append(request.url))
    page.goto(file.as_uri())
    page.wait_for_selector(".offtake")
    yield page, noted
    context.close()


def told(html: str) -> dict[str, Any]:
    """The facts that the file's own script shows."""
    facts: dict[str, Any] = json.loads(re.search(r"const FACTS = (.*);\n", html)[1])
    return facts


def test_nothing_in_it_would_be_fetched(file: Path) -> None:
    """No element with an address, no address in a style; and the file forbids fetching itself."""
    html = file.read_text(encoding="utf-8")
    parser = Fetched()
    parser.feed(html)
    assert parser.addresses == []
    styles = re.findall(r"<style>(.*?)</style>", html, re.S)
    assert styles
    assert not re.search(r"url\(|@import", " ".join(styles))
    assert "sourceMappingURL" not in html
    assert "default-src 'none'; script-src 'unsafe-inline'" in html
    assert "Leaflet 1.9.4" in html  # the licence banner stays
    assert "(c) 2010-2023 Vladimir Agafonkin" in html
    assert "Redistributions of source code must retain" in html


def test_it_opens_without_a_network_and_draws(browser: Browser, file: Path) -> None:
    """Rivers and signs are on the map's pixels, nothing else is asked for, nothing goes wrong."""
    with opened(browser, file) as (page, noted):
        assert noted == [file.as_uri()]
        case = demo_best()
        assert page.locator(".offtake").count() == len(case.rows)
        assert page.locator("path.leaflet-interactive, .leaflet-overlay-pane path").count() >= 3
        picture = Image.open(BytesIO(page.locator(".folium-map").screenshot())).convert("RGB")
        pixels = np.asarray(picture).reshape(-1, 3).astype(int)
        water, ink = np.array([0x7F, 0x9A, 0xA6]), np.array([0x14, 0x30, 0x3A])
        assert (np.abs(pixels - water).max(axis=1) < 12).sum() > 1000
        assert (np.abs(pixels - ink).max(axis=1) < 12).sum() > 1000
        assert page.locator(".leaflet-control-scale-line").inner_text().endswith("km")


def test_states_are_shapes_and_the_legend_counts_them(browser: Browser, file: Path) -> None:
    """As many discs, rings and dashes as the case has; a disc inside is full."""
    case = demo_best()
    signs = [row.public_sign for row in case.rows]
    with opened(browser, file) as (page, _):
        legend = plain(page.locator("#facts .legend").inner_text())
        assert f"inside the budget · {signs.count('inside')}" in legend
        assert f"built or not in this round · {signs.count('not_in_round')}" in legend
        assert page.locator(".offtake .dash").count() == signs.count("not_in_round")
        assert page.locator(".offtake .dot-out").count() == signs.count("close_out")
        full = page.locator(".offtake circle.full").count()
        assert full == signs.count("inside") + signs.count("close_in")
        assert page.locator(".offtake rect").count() == 0  # who was chosen by hand is not public


def test_an_offtake_opens_by_keys_with_public_facts(browser: Browser, file: Path) -> None:
    """Enter on a sign opens its code, state, rank, loss, screen and band of cost."""
    row = demo_best().rows[0]
    with opened(browser, file) as (page, noted):
        page.locator(f".offtake[title^='{row.code}']").focus()
        page.keyboard.press("Enter")
        said = plain(page.locator(".leaflet-popup-content").inner_text())
        assert row.code in said
        assert "rank 1 of 197" in said
        assert "of the loss to pumps" in said
        assert re.search(r"its cost [\d,]+ to [\d,]+ CDL", said)
        assert noted == [file.as_uri()]


def test_stamp_and_cautions_stand_beside_the_map(browser: Browser, file: Path) -> None:
    """Whoever is given the file knows what it is and how old."""
    case = demo_best()
    with opened(browser, file) as (page, _):
        said = plain(page.locator("#facts").inner_text())
        for words in ("Round 2027, Lantern River", f"Data {case.case['data_version']}",
                      "saved 28 November 2026", "it does not design", "before ground is broken",
                      "34 offtakes inside a budget of 1.90 M CDL"):  # fmt: skip
            assert words in said, words
        assert page.title() == "Round 2027, Lantern River"
        assert page.locator("html").get_attribute("lang") == "en"


@pytest.mark.parametrize("way", ["score", "best"])
def test_the_public_file_tells_no_secret(way: str) -> None:
    """No private or agency cell, no intake's place, no number made from one, no hand choice."""
    changed = {"kept_in": {"A": "SECRET-reason"}} if way == "best" else {}
    seeded = seeded_case(way, **changed)
    html = stand_alone_map(seeded.case, Viewer.PUBLIC, NOW).decode()
    assert "SECRET" not in html
    assert seeded.told_by(json.dumps(told(html))) == []
    assert not re.search("declined|not willing|by hand", json.dumps(told(html)["offtakes"]))
    private = stand_alone_map(seeded.case, Viewer.LEAD, NOW).decode()
    assert "SECRET-landholder-0" in private  # the search finds what is told


def test_the_leads_own_version_knows_places_and_reasons() -> None:
    """Intakes stand where they are, and hand choices are squares with their reasons."""
    case = demo_best()
    facts = told(stand_alone_map(case, Viewer.LEAD, NOW).decode())
    of = {each["code"]: each for each in facts["offtakes"]}
    kept, left = of["LN-120"], of["LN-001"]
    assert (kept["sign"], left["sign"]) == ("hand_in", "hand_out")
    assert ["by hand, because", "its owner has offered to host visits"] in kept["facts"]
    table = case.evaluation.catchment.table("offtakes")
    point = table.geometry[table.index["LN-120"]]
    assert (kept["lon"], kept["lat"]) == (round(point.x, 5), round(point.y, 5))


def test_user_text_is_text(browser: Browser, tmp_path: Path) -> None:
    """A name with markup, a script's end or a template's tag is shown as it was written."""
    name = "{{ 7*7 }}{% raw %}</script><script>document.title='x'</script><b>&amp;"
    of = small()
    of.set("places", 0, "name", name)
    of.set("places", 0, "size", "4")
    of.set("places", 0, "geometry", Point(10.1, 50.005))
    of.set("offtakes", 0, "label", name)
    case = case_of(Shown(view_of(of)), 90_000.0, name=name)
    path = tmp_path / "map.html"
    path.write_bytes(stand_alone_map(case, Viewer.PUBLIC, NOW))
    with opened(browser, path) as (page, noted):
        assert page.locator(".town").inner_text() == name
        assert page.locator("#facts h1").inner_text() == f"{name}, Small river"
        assert page.title() == f"{name}, Small river"
        page.locator(".offtake[title^='A']").focus()
        page.keyboard.press("Enter")
        assert name in page.locator(".leaflet-popup-content").inner_text()
        assert noted == [path.as_uri()]


def test_json_in_a_script_can_end_nothing() -> None:
    """Neither a script nor a template's tag, and it reads back the same."""
    value = {"a{{": ['</script>{{ x }}{% y %}{# z #}"\\', {"b": 1}]}
    written = script_json(value)
    assert json.loads(written) == value
    assert not re.search(r"<|>|\{\{|\{%|\{#", written)


def test_pictures_beside_a_style_are_left_out() -> None:
    """Other rules of the same block stay."""
    style = ".a {\n\twidth: 1px;\n\tbackground-image: url(x.png);\n\theight: 2px;\n}"
    assert without_pictures(style) == ".a {\n\twidth: 1px;\n\theight: 2px;\n}"


def test_the_file_is_small_enough_to_send() -> None:
    """Below a megabyte for the demo."""
    assert len(stand_alone_map(demo_by_score(), Viewer.LEAD, NOW)) < 1_000_000
