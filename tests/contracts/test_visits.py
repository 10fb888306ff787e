"""Field days through the API: planned, kept, put in another order, printed, taken along as GPX."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any

import pytest

from tests.contracts.field_served import Field, field_served
from tests.contracts.small_register import new_id
from tests.contracts.small_view import QUOTE, SECRETS
from tests.contracts.with_accounts import Browser

ASKED: dict[str, Any] = {
    "budget": 30_000.0, "lon": 142.0, "lat": -35.0, "days": [{"minutes": 600}],
}  # fmt: skip


@pytest.fixture(scope="module")
def field(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Field]:
    with field_served(tmp_path_factory.mktemp("visits")) as made:
        yield made


@pytest.fixture(scope="module")
def kim(field: Field) -> Browser:
    return field.browser("kim")


@pytest.fixture(scope="module")
def lee(field: Field) -> Browser:
    return field.browser("lee")


@pytest.fixture(scope="module")
def ada(field: Field) -> Browser:
    return field.browser("ada")


def ended(browser: Browser, address: str, body: dict[str, Any]) -> dict[str, Any]:
    """Start work and wait for its end."""
    started = browser.post(address, json=body)
    assert started.status_code == 202, started.text
    work: dict[str, Any] = started.json()
    end = time.monotonic() + 60
    while work["state"] == "working" and time.monotonic() < end:
        work = browser.get(f"/api/work/{work['id']}?wait_s=1").json()
    assert work["state"] == "done", work
    return work["answer"]


def place_of(field: Field, code: str) -> dict[str, float]:
    """Give where an offtake is, to begin there."""
    table = field.working.newest().opened.catchment.table("offtakes")
    assert table.geometry is not None
    point = table.geometry[table.index[code]]
    return {"lon": point.x, "lat": point.y}


def test_every_offtake_is_told_with_its_worth_and_what_to_measure(kim: Browser) -> None:
    """One row an offtake; only where a measurement could change the choice is something listed."""
    told = ended(kim, "/api/visits/candidates", {"budget": 30_000.0})
    rows = told["candidates"]
    assert [row["code"] for row in rows] == ["A", "B", "C"]
    for row in rows:
        assert (row["worth_share"] > 0) is row["could_change"]
        assert row["could_change"] or not row["measure"]
        assert 0 <= row["worth_share"] <= 1_000_000
    assert not rows[2]["could_change"]  # it is declined


def test_a_must_is_visited_and_a_never_is_not(field: Field, kim: Browser) -> None:
    """C, of no worth, stands in the run when it must; A does not when it must not."""
    asked = {**ASKED, **place_of(field, "B"), "must": ["C"], "never": ["A"]}
    told = ended(kim, "/api/visits/plan", asked)
    codes = [stop["code"] for day in told["days"] for stop in day["stops"]]
    assert "C" in codes
    assert "A" not in codes
    assert {"code": "A", "could_change": False, "why": "asked not to be seen"} in [
        {**each, "could_change": False} for each in told["skipped"]
    ]
    seen_and_skipped = sorted([*codes, *(each["code"] for each in told["skipped"])])
    assert seen_and_skipped == ["A", "B", "C"]
    assert told["start"]["name"] == ""
    assert told["gap"] is not None


def test_what_does_not_fit_is_refused_with_what_it_is_short_by(field: Field, kim: Browser) -> None:
    """A day of twenty minutes holds no stop of forty-five: the work fails and says by how much."""
    asked = {**ASKED, **place_of(field, "B"), "must": ["B"], "days": [{"minutes": 20}]}
    browser = kim
    work = browser.post("/api/visits/plan", json=asked).json()
    while work["state"] == "working":
        work = browser.get(f"/api/work/{work['id']}?wait_s=1").json()
    assert work["state"] == "failed"
    assert work["error"]["message"] == (
        "B is too far: there, 45 min at the site and back is 25 min more than the longest day"
    )


def test_an_order_made_by_hand_shows_its_times_and_moves_nothing(
    field: Field, kim: Browser
) -> None:
    """The order given is the order answered; what is too long is said, not refused."""
    asked = {**ASKED, **place_of(field, "B"), "order": [["C", "A", "B"]],
             "days": [{"minutes": 60}]}  # fmt: skip
    told = ended(kim, "/api/visits/order", asked)
    (day,) = told["days"]
    assert [stop["code"] for stop in day["stops"]] == ["C", "A", "B"]
    assert day["over_min"] == pytest.approx(day["minutes"] - 60)
    assert day["minutes"] == pytest.approx(3 * 45 + day["drive_min"])
    assert day["back_min"] == 0  # the run starts at its last stop


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"lat": None}, "lon and lat"),
        ({"must": ["Nowhere"]}, "Nowhere"),
        ({"must": ["A"], "never": ["A"]}, "A: asked to be seen and not"),
        ({"days": []}, "days"),
        ({"days": [{"minutes": 0}]}, "minutes"),
        ({"depot": "Atlantis", "lon": None, "lat": None}, "no depot 'Atlantis'"),
        ({"budget": -1.0}, "budget"),
    ],
)
def test_what_cannot_be_planned_is_refused_at_once(
    ada: Browser, changed: dict[str, Any], words: str
) -> None:
    """No work begins; the refusal says what is wrong."""
    answer = ada.post("/api/visits/plan", json={**ASKED, **changed})
    assert answer.status_code == 400
    assert words in answer.json()["error"]["message"]


def kept(browser: Browser, days: list[list[str]], **more: Any) -> dict[str, Any]:
    """Keep a run."""
    body = {"id": new_id(), "name": "Lower river", "on": "2026-03-02",
            "days": [{"stops": [{"code": code} for code in day]} for day in days],
            **more}  # fmt: skip
    answer = browser.post("/api/runs", json=body)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_a_run_is_kept_once_and_is_its_officers_own(
    kim: Browser, lee: Browser, ada: Browser
) -> None:
    """kim's run is kim's whatever the body says; a repeat is the same; lee finds nothing."""
    run = kept(kim, [["A"], ["B"]], officer="lee")
    assert (run["officer"], run["by"]) == ("kim", "kim")
    again = {name: run[name] for name in ("id", "name", "on", "days", "plan")}
    assert kim.post("/api/runs", json=again).json()["made_at"] == run["made_at"]
    heads = {each["id"]: each for each in kim.get("/api/runs").json()["runs"]}
    assert heads[run["id"]]["codes"] == [["A"], ["B"]]
    assert run["id"] not in {each["id"] for each in lee.get("/api/runs").json()["runs"]}
    assert run["id"] in {each["id"] for each in ada.get("/api/runs").json()["runs"]}
    for address in (f"/api/runs/{run['id']}", f"/print/run/{run['id']}",
                    f"/files/run/{run['id']}.gpx"):  # fmt: skip
        never = address.replace(run["id"], new_id())
        assert lee.get(address).status_code == 404
        assert lee.get(address).content == lee.get(never).content
        assert kim.get(address).status_code == 200
    other = {"days": [{"stops": [{"code": "B"}, {"code": "A"}]}]}
    assert lee.post(f"/api/runs/{run['id']}/order", json=other).status_code == 404
    moved = kim.post(f"/api/runs/{run['id']}/order", json=other).json()
    assert [stop["code"] for stop in moved["days"][0]["stops"]] == ["B", "A"]
    assert lee.delete(f"/api/runs/{run['id']}").status_code == 404
    assert kim.delete(f"/api/runs/{run['id']}").status_code == 204
    assert run["id"] not in {each["id"] for each in kim.get("/api/runs").json()["runs"]}


def test_sheet_and_gpx_say_whom_to_ring_on_paper_alone(kim: Browser) -> None:
    """The sheet has B's contact; the GPX has nobody's name; neither has licence or quote."""
    run = kept(kim, [["A", "B"]])
    sheet, gpx = kim.get(f"/print/run/{run['id']}"), kim.get(f"/files/run/{run['id']}.gpx")
    assert SECRETS["contact"] in sheet.text
    assert "drowning hazard" in sheet.text
    for secret in (SECRETS["licence"], QUOTE):
        assert secret not in sheet.text
    for secret in (*SECRETS.values(), QUOTE):
        assert secret not in gpx.text
    assert gpx.headers["content-disposition"] == 'attachment; filename="lower-river.gpx"'


def test_a_run_of_what_is_not_there_is_refused(ada: Browser) -> None:
    """No stop, an unknown one, or one twice: refused, and nothing is kept."""
    before = ada.get("/api/runs").json()
    for stops in ([], ["Nowhere"], ["A", "A"]):
        body = {"id": new_id(), "name": "x", "on": "2026-03-02",
                "days": [{"stops": [{"code": code} for code in stops]}]}  # fmt: skip
        assert ada.post("/api/runs", json=body).status_code == 400
    assert ada.get("/api/runs").json() == before


def test_others_are_refused_and_work_of_the_lead_stays_the_leads(
    ada: Browser, kim: Browser
) -> None:
    """A viewer plans nothing; a field officer cannot look at the lead's work."""
    lead = ada
    work = lead.post("/api/best-set", json={"budget": 30_000.0}).json()
    assert lead.get(f"/api/work/{work['id']}?wait_s=5").status_code == 200
    assert kim.get(f"/api/work/{work['id']}").status_code == 403
    assert lead.post("/api/visits/plan?as=public", json=ASKED).status_code == 403
