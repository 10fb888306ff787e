"""The printed run sheet, as it comes out of a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any

import gpxpy
import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser

from slackwater.desk.field.pack import pack_of
from slackwater.desk.field.taking_notes import take_notes
from slackwater.desk.paper.run_sheet import print_run_sheet, run_gpx
from slackwater.desk.visits.runs_kept import keep_run
from slackwater.desk.working import Working
from slackwater.people.roles import Caller, Role
from slackwater.reports.printing import look
from slackwater.store.field_book import FieldBook
from tests.catchment.small import small
from tests.contracts.small_register import new_id, working_on
from tests.contracts.small_view import QUOTE, SECRETS
from tests.reports.printed import Printed, plain, print_to_pdf
from tests.store.field.at_pump import Phone

LEAD = Caller("", frozenset({Role.LEAD}))
HOW = "Marked pole or weighted line from the bank."


@pytest.fixture(scope="module")
def working(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Working]:
    of = small()
    for column, secret in SECRETS.items():
        of.set("offtakes", 1, column, secret)
    of.set("offtakes", 1, "quote", QUOTE)
    made = working_on(of.raw(), tmp_path_factory.mktemp("sheet") / "sheet.sqlite")
    yield made
    made.close()


def stop(code: str, arrive: float, **more: Any) -> dict[str, Any]:
    return {"code": code, "arrive_min": arrive, "leave_min": arrive + 45, "drive_min": 30.0,
            "drive_km": 20.0, "worth_share": 1000,
            "measure": [{"input": "depth_m", "words": HOW}], "must": False,
            "contact_first": False, **more}  # fmt: skip


@pytest.fixture(scope="module")
def run(working: Working) -> dict[str, Any]:
    asked = {
        "id": new_id(),
        "name": "Lower <river> run",
        "on": "2026-03-02",
        "officer": "kim",
        "days": [
            {"stops": [stop("A", 30.0), stop("B", 105.0, contact_first=True)], "minutes": 180.0,
             "drive_km": 60.4},
            {"stops": [stop("C", 30.0, must=True)]},
        ],
        "plan": {"start": {"name": "The yard", "lon": 142.6, "lat": -35.1}},
    }  # fmt: skip
    kept = keep_run(working, asked, LEAD, "lead")
    note = Phone(kept["id"]).write("A", "hazards", "undercut bank <mind it>")
    take_notes(working, [note], LEAD)
    return kept


@pytest.fixture(scope="module")
def printed(working: Working, run: dict[str, Any], browser: Browser) -> Printed:
    return print_to_pdf(browser, print_run_sheet(working, run["id"], LEAD))


def test_each_day_begins_a_page_with_its_stops_in_order(printed: Printed) -> None:
    """Two days, two pages at least; A before B on the first, C on the second, times beside."""
    days = [page for page in printed.pages if "Day 1 ·" in page or "Day 2 ·" in page]
    assert len(days) == 2
    first, second = days
    assert "Day 1 · Monday 2 March 2026" in first
    assert "Day 2 · Tuesday 3 March 2026" in second
    assert "From The yard and back. 3 h 00 in all, 60 km driven." in first
    assert first.index("30 min to 1 h 15 after the start") < first.index("1 h 45 to 2 h 30 after")
    assert "To be seen in any case" in second
    assert "To be seen in any case" not in first


def test_it_says_what_to_measure_how_whom_to_ring_and_what_others_noted(printed: Printed) -> None:
    """Input and way to measure it at every stop; contact; the hazard, as text."""
    assert printed.text.count(HOW) == 3
    assert "Ring before you go." in printed.text
    assert SECRETS["contact"] in printed.text
    assert "Noted before: undercut bank <mind it>" in printed.text
    assert SECRETS["licence"] not in printed.text
    assert QUOTE not in printed.text


def test_each_stop_has_its_place_in_degrees_and_gpx_begins_and_ends_at_the_yard(
    working: Working, run: dict[str, Any], printed: Printed
) -> None:
    """Latitude and longitude to five decimals as on the map; whom to ring first without a name."""
    stops = {each["code"]: each for each in pack_of(working, run["id"], LEAD)["stops"]}
    assert len(stops) == 3
    for each in stops.values():
        assert f"latitude, longitude {each['lat']:.5f}, {each['lon']:.5f}" in printed.text
    content, _ = run_gpx(working, run["id"], LEAD)
    points = gpxpy.parse(content).waypoints
    assert [each.name for each in points] == ["The yard", "A", "B", "C", "The yard"]
    assert [(each.latitude, each.longitude) for each in points[1:4]] == [
        (pytest.approx(each["lat"], abs=1e-6), pytest.approx(each["lon"], abs=1e-6))
        for each in stops.values()
    ]
    assert {each.description for each in (points[0], points[-1])} == {"where days start and end"}
    ring = "Ring before you go."
    assert [ring in each.description for each in points[1:4]] == [False, True, False]
    assert not [secret for secret in SECRETS.values() if secret.encode() in content]


def test_cautions_stand_on_it_and_on_every_day(printed: Printed) -> None:
    """Suction, drowning, water, power, banks, local law, licensed practice; short on each day."""
    for words in ("suction and a drowning hazard", "in and near water", "licensed electricians",
                  "bank undercut", "local safety law and licensed practice",
                  "Local codes decide"):  # fmt: skip
        assert words in printed.text, words
    assert printed.text.count("Do not enter the water near an intake") == 2


def test_the_map_numbers_the_stops_and_has_scale_and_legend(
    working: Working, run: dict[str, Any]
) -> None:
    """A drawing a day; as many numbered discs as stops beside the legend's own; a start."""
    html = print_run_sheet(working, run["id"], LEAD)
    assert html.count('class="ground" role="img"') == 2
    assert html.count("<circle") == 2 + 1 + 2  # of the legends one each
    assert html.count('class="depot"') == 4
    assert "north is up" in html
    assert "order of stops, not the road" in html
    assert "Lower &lt;river&gt; run" in html


def test_where_no_roads_are_known_the_way_is_dashed_and_said_to_be_no_road(
    working: Working, run: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """On both maps and in their legends."""
    told = "straight lines from stop to stop, not roads"
    assert told not in print_run_sheet(working, run["id"], LEAD)
    monkeypatch.setattr("slackwater.desk.paper.run_sheet.roads_of", lambda _: ())
    html = print_run_sheet(working, run["id"], LEAD)
    assert html.count(told) == 2
    assert html.count('class="way straight"') == 4


def test_black_ink_alone_is_used(printed: Printed, browser: Browser, run: dict[str, Any],
                                 working: Working) -> None:  # fmt: skip
    """No point of the page as printed has a colour of its own."""
    page = browser.new_page()
    html = print_run_sheet(working, run["id"], LEAD)
    page.set_content(html.replace("</head>", f"<style>{look()}</style></head>"))
    page.emulate_media(media="print")
    shown = Image.open(BytesIO(page.screenshot(full_page=True))).convert("RGB")
    page.close()
    inks = np.asarray(shown).reshape(-1, 3).astype(int)
    assert (inks.max(axis=1) - inks.min(axis=1)).max() <= 2
    assert inks.min() < 40  # there is ink
    assert len(printed.pages) <= 4


def test_clock_times_stand_beside_minutes_where_the_plan_holds_a_leaving_time(
    working: Working, run: dict[str, Any]
) -> None:
    """It says when to leave and when one arrives; without one, or with none that is one, not."""
    told = FieldBook(working.register).run(run["id"])
    assert told is not None
    days = [dict(day) for day in told.days]
    asked = {"id": new_id(), "name": "Clock", "on": "2026-03-02", "officer": "", "days": days}
    kept = keep_run(working, {**asked, "plan": {"leaving": "07:30"}}, LEAD, "lead")
    html = plain(print_run_sheet(working, kept["id"], LEAD))
    assert "Leave at 7:30." in html
    assert "8:00 to 8:45; 30 min to 1 h 15 after the start" in html
    for odd in ("25:00", 8, None):
        asked = {**asked, "id": new_id(), "plan": {"leaving": odd}}
        kept = keep_run(working, asked, LEAD, "lead")
        html = plain(print_run_sheet(working, kept["id"], LEAD))
        assert "Leave at" not in html
        assert "30 min to 1 h 15 after the start" in html


def test_the_form_leaves_a_blank_for_the_share_by_night_and_a_remark(printed: Printed) -> None:
    """Both stand at every stop."""
    assert printed.text.count("Share by night") == 3
    assert printed.text.count("Remark") == 3


def test_a_stop_that_left_the_register_is_still_told(working: Working) -> None:
    """Sheet and GPX of a run whose site is gone: the code stands there, without a place."""
    asked = {"id": new_id(), "name": "Gone", "on": "2026-03-02", "officer": "", "plan": {},
             "days": [{"stops": [stop("A", 30.0)]}]}  # fmt: skip
    kept = keep_run(working, asked, LEAD, "lead")
    FieldBook(working.register).put_order(kept["id"], [{"stops": [{"code": "Z-9"}]}])
    html = plain(print_run_sheet(working, kept["id"], LEAD))
    assert "Z-9" in html
    assert "not in the register" in html
    content, name = run_gpx(working, kept["id"], LEAD)
    assert name == "gone.gpx"
    assert b"Z-9" not in content
