"""The public page of a case: what anyone may see, and nothing else."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from html.parser import HTMLParser
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.public_page import print_public_page, public_facts
from slackwater.desk.visibility import Viewer
from slackwater.reports.printing import look
from slackwater.reports.side_by_side import GAP_MM, side_by_side
from tests.reports.cases import demo_best, demo_by_score
from tests.reports.printed import plain
from tests.reports.secrets_of import SeededCase, seeded_case

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
MAP, LOOK = "/shared/x/map.html", "/print/look.css"
CASES = {"by score": demo_by_score, "best set": demo_best}
HAND = "SECRET-REASON its owner is in debt"


class Read(HTMLParser):
    """The words of a page, row by row of its table, without its drawings; and its elements."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.rows: list[list[str]] = []
        self.words: list[str] = []
        self._drawings = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        self._drawings += tag == "svg"
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        self._drawings -= tag == "svg"

    def handle_data(self, data: str) -> None:
        if self._drawings:
            return
        self.words.append(data)
        if self.rows and self.rows[-1]:
            self.rows[-1][-1] += data

    @property
    def text(self) -> str:
        """All words."""
        return plain(" ".join(self.words))


def printed(case: CaseShown) -> str:
    """The page as it is sent."""
    return print_public_page(case, NOW, MAP, LOOK)


def opened(browser: Browser, html: str, width: int) -> Page:
    """The page in a browser of some width, without scripts; only its style sheet is let through."""
    context = browser.new_context(
        viewport={"width": width, "height": 800}, java_script_enabled=False
    )
    page = context.new_page()
    page.route("**/*", lambda route: route.abort())
    page.route("**/look.css", lambda route: route.fulfill(body=look(), content_type="text/css"))
    page.route(
        "**/page", lambda route: route.fulfill(body=html, content_type="text/html; charset=utf-8")
    )
    page.goto("http://127.0.0.1:9/page")
    return page


@pytest.mark.parametrize("of", CASES)
def test_every_offtake_is_listed_with_what_is_public_of_it(of: str) -> None:
    """Rank, code, in or out, share of the loss and band of cost; inside first, then by rank."""
    case = CASES[of]()
    columns = case.shown.view.offtakes(Viewer.PUBLIC)
    shown = [row for row in Read(printed(case)).rows if len(row) == 5][1:]
    assert len(shown) == len(case.rows)
    by_code = {row.code: row for row in case.rows}
    order = {"inside": 0, "outside": 1, "not_in_round": 2}
    stood = [(order[by_code[cells[1].strip()].state], int(cells[0])) for cells in shown]
    assert stood == sorted(stood)
    words = {"inside": "inside", "outside": "outside", "not_in_round": "built or not in this round"}
    for rank, code, state, loss, band in shown:
        row = by_code[code.strip()]
        assert int(rank) == row.rank
        assert state.startswith(words[row.state])
        told = float(re.match(r"(?:below )?([\d.,]+)", plain(loss))[1].replace(",", ""))
        exact = columns["loss_share"][row.position] / 1e4
        assert told == pytest.approx(exact, rel=0.06, abs=0.011)
        given = columns["capital_band"][row.position]
        if band.strip() != "–":
            low, high = (float(each.replace(",", "")) for each in band.split(" to "))
            assert low < high
        assert given is None or band.strip() != "–" or row.option < 0


def test_the_page_says_what_it_rests_on() -> None:
    """Sentence, legend, scale, cautions, date and data version."""
    case = demo_by_score()
    text = Read(printed(case)).text
    for words in (
        f"{case.result['inside_count']} offtakes inside a budget of 1.90 M CDL, avoiding",
        "inside the budget", "outside", "built or not in this round", "Mean flow",
        "it does not design", "a suction and a drowning hazard", "cultural heritage",
        f"Data {case.case['data_version']} of 27 November 2026", "Printed 29 November 2026",
        "side by side at the middle of their reach",
    ):  # fmt: skip
        assert words in text, words
    assert "Program lead" not in text


def test_it_has_no_script_and_asks_for_its_own_style_sheet_alone() -> None:
    """No script, form, frame or picture; two addresses, both of this service."""
    read = Read(printed(demo_best()))
    assert not {"script", "form", "iframe", "img", "object", "embed", "style"} & set(read.tags)
    assert not [name for name, _ in read.attributes if name.startswith("on") or name == "style"]
    addresses = [value for name, value in read.attributes if name in ("href", "src", "action")]
    assert sorted(addresses) == sorted([LOOK, MAP])


def seeded(way: str) -> SeededCase:
    """A case full of secrets: hand reasons, a note and a maker too."""
    changed = {"kept_in": {"B": HAND}} if way == "best" else {}
    made = seeded_case(way, **changed)
    case = {**made.case.case, "note": "SECRET-NOTE ring first", "by": "SECRET-MAKER"}
    return SeededCase(CaseShown(case, made.case.shown), made.closed)


@pytest.mark.parametrize("way", ["score", "best"])
def test_no_secret_is_told(way: str) -> None:
    """W17: no private or agency text, number or column, no reason, note or maker."""
    of = seeded(way)
    html = printed(of.case)
    assert "SECRET" not in html
    assert of.told_by(Read(html).text) == []
    assert [name for name in of.closed.columns if name in html] == []
    refused = [row.why_not for row in of.case.rows if row.why_not]
    assert refused
    assert [reason for reason in refused if reason in html] == []


@pytest.mark.parametrize("way", ["score", "best"])
def test_places_are_those_of_the_reach(way: str) -> None:
    """A sign stands at the middle of its reach, not at the intake; hand choices do not show."""
    of = seeded(way)
    ground = public_facts(of.case, NOW, MAP, LOOK).ground
    assert len(ground.dots) == len(of.case.rows)
    intakes = of.case.evaluation.catchment.table("offtakes").geometry
    for dot in ground.dots:
        assert dot.facts == ()
        assert not dot.sign.value.startswith("hand")
        assert min(abs(dot.lon - each.x) + abs(dot.lat - each.y) for each in intakes) > 1e-4


def test_text_of_a_case_never_becomes_markup() -> None:
    """A name with markup is shown as it was written."""
    case = demo_best()
    name = '<img src=x onerror=alert(1)> & "{{ 7 * 7 }}"'
    html = printed(CaseShown({**case.case, "name": name}, case.shown))
    assert "<img" not in html
    assert name in Read(html).text


def test_signs_of_one_place_stand_side_by_side() -> None:
    """None covers another, together they stand around their place, and single ones stay."""
    places = np.array([[10.0, 10.0]] * 7 + [[30.0, 10.0]])
    moved = side_by_side(places, [1.25] * 8)
    assert moved[7].tolist() == [30.0, 10.0]
    apart = [float(np.hypot(*(moved[i] - moved[j]))) for i in range(7) for j in range(i + 1, 7)]
    assert min(apart) == pytest.approx(2.5 + GAP_MM)
    assert np.allclose(moved[:6].mean(axis=0), [10.0, 10.0], atol=2.0)
    assert np.allclose(side_by_side(places[:4], [1.0] * 4).mean(axis=0), [10.0, 10.0])


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_a_phone_need_not_scroll_sideways(browser: Browser, width: int) -> None:
    """WCAG 2.2, 1.4.10: all of it, map and list, stands within the width."""
    page = opened(browser, printed(demo_by_score()), width)
    full = Image.open(BytesIO(page.screenshot(full_page=True)))
    page.context.close()
    assert full.width == width
