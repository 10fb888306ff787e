"""Which edition is shown: after an edit the old one until the new one is there, and cases' own."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater import MODEL_VERSION
from slackwater.api.app import create_app
from slackwater.desk import working as working_module
from slackwater.desk.editing import Check
from slackwater.desk.evaluation import evaluate
from slackwater.desk.showing import AsRead
from slackwater.errors import UsageError
from slackwater.store import Case, Change, Edit, open_register
from tests.contracts.at_work import HERE, Bench, bench, change, new_id
from tests.contracts.small_view import small_view

SOME_ID = "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20"

READ_ONLY = (
    "This catchment is read from a file; slackwater import makes a database that can be worked on."
)
ADDRESSES = [
    ("GET", "edition", None),
    ("POST", "edits", {"id": SOME_ID, "changes": [change("label", "a", "b")], "why": "x"}),
    ("GET", "edits", None),
    ("POST", f"edits/{SOME_ID}/undo", {"id": SOME_ID, "why": "x"}),
    ("GET", "rows/offtakes/A", None),
    ("POST", "paste", {"table": "offtakes", "text": "offtake_id\nA"}),
    ("POST", "place", {"code": "A", "lon": 10.0, "lat": 50.0}),
    ("POST", "uploads?name=a.gpkg", None),
    ("POST", f"uploads/{SOME_ID}/accept", {"id": SOME_ID, "why": "x"}),
    ("DELETE", f"uploads/{SOME_ID}", None),
]


@pytest.fixture
def at(tmp_path: Path) -> Iterator[Bench]:
    with bench(tmp_path) as made:
        yield made


def saved_case(at: Bench) -> str:
    """Save a case on the present data; give its id."""
    case = Case(
        new_id(),
        "as it was",
        "",
        "2026-01-02T00:00:00+00:00",
        "lead",
        at.register.standing().data_version,
        MODEL_VERSION,
        trial={"budget": 1.0},
        result={"spent": 0.0},
    )
    at.register.save_case(case)
    return case.id


def capacities(at: Bench, **asked: Any) -> list[float]:
    return at.get("offtakes", **asked)["capacity_m3s"]


@pytest.mark.parametrize(("method", "path", "body"), ADDRESSES)
def test_a_catchment_from_a_file_has_no_register(method: str, path: str, body: Any) -> None:
    """Every address of the register answers 404 with the way to a database."""
    client = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    answer = client.request(method, f"/api/{path}", json=body)
    assert answer.status_code == 404
    assert answer.json() == {"error": {"code": "read_only", "message": READ_ONLY}}


@pytest.mark.parametrize(("method", "path", "body"), ADDRESSES)
@pytest.mark.parametrize("viewer", ["public", "agency"])
def test_the_register_is_for_the_lead(
    at: Bench, method: str, path: str, body: Any, viewer: str
) -> None:
    """Anyone else is refused, and nothing is written."""
    before = at.standing()
    mark = "&" if "?" in path else "?"
    answer = at.client.request(method, f"/api/{path}{mark}as={viewer}", json=body)
    assert answer.status_code == 403
    assert answer.json()["error"]["code"] == "forbidden"
    assert at.standing() == before


def test_facts_say_which_edition_this_is(at: Bench) -> None:
    """A database is worked on, at a revision; a file is not."""
    facts, edition = at.get("catchment"), at.get("edition")
    assert (facts["working"], facts["revision"], facts["case"]) == (True, 1, None)
    assert facts["edition"] == edition["edition"]
    view = small_view()
    read = TestClient(create_app(AsRead(view)), base_url=HERE).get("/api/catchment").json()
    assert (read["working"], read["revision"], read["case"]) == (False, None, None)
    assert read["edition"] == view.edition


def test_after_an_edit_a_new_edition_is_shown_with_the_numbers_of_the_new_data(
    at: Bench,
) -> None:
    """Offtakes, facts and tags are those of the edited catchment, as evaluated from scratch."""
    first, tag = at.get("edition"), at.client.get("/api/offtakes").headers["etag"]
    done = at.edit(change("capacity_m3s", 0.2, 0.35))
    told = at.settled()
    assert told["edition"] != first["edition"]
    assert (told["revision"], told["data_version"]) == (done["revision"], done["data_version"])
    assert told["latest_revision"] == 2
    answer = at.client.get("/api/offtakes", headers={"If-None-Match": tag})
    assert answer.status_code == 200
    assert answer.json()["capacity_m3s"][0] == 0.35
    ranking = evaluate(at.working.newest().opened.catchment).ranking
    assert answer.json()["rank"] == ranking.rank.tolist()
    facts = at.get("catchment")
    assert (facts["revision"], facts["data_version"]) == (2, done["data_version"])


def test_the_old_edition_stays_until_the_new_one_is_there(
    at: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While numbers are worked out the old ones are shown, and edits meanwhile become one more."""
    go, worked_out = threading.Event(), []
    plain = working_module.view_of

    def held(*given: Any) -> Any:
        assert go.wait(30)
        worked_out.append(given[0].catchment.data_version)
        return plain(*given)

    monkeypatch.setattr(working_module, "view_of", held)
    first = at.get("edition")
    for n in range(6):
        at.edit(change("wear_cost_year", 100.0 + n, 101.0 + n))
    told = at.get("edition", since=first["edition"])
    assert (told["edition"], told["revision"], told["working_out"]) == (first["edition"], 1, True)
    assert at.get("catchment")["revision"] == 1
    go.set()
    told = at.settled()
    assert (told["revision"], told["latest_revision"]) == (7, 7)
    assert 1 <= len(worked_out) <= 3  # the first may have begun early; the others go together
    assert worked_out[-1] == told["data_version"]


def test_who_waits_hears_of_a_new_edition_at_once(at: Bench) -> None:
    """A waiting page is answered when something changed, long before its patience ends."""
    first, heard = at.get("edition"), []

    def listen() -> None:
        told = first
        while told["edition"] == first["edition"]:
            told = at.get("edition", since=first["edition"], wait_s=10)
        heard.append(told)

    page = threading.Thread(target=listen)
    page.start()
    at.edit(change("wear_cost_year", 100.0, 120.0))
    page.join(30)
    assert heard
    assert heard[0]["revision"] == 2


def test_without_news_one_waits_as_long_as_was_asked(at: Bench) -> None:
    """A page that shows the newest edition waits; one that shows an older one does not."""
    edition = at.get("edition")["edition"]
    begun = time.monotonic()
    assert at.get("edition", since=edition, wait_s=0.5)["edition"] == edition
    assert time.monotonic() - begun >= 0.5
    assert at.get("edition", since="an older one", wait_s=10)["edition"] == edition


def test_a_service_that_is_told_to_end_keeps_no_page_waiting(at: Bench) -> None:
    """However long a page would wait, it is answered once the service is to end."""
    edition = at.get("edition")["edition"]
    at.client.app.state.leaving = lambda: True  # type: ignore[attr-defined]
    begun = time.monotonic()
    at.get("edition", since=edition, wait_s=10)
    assert time.monotonic() - begun < 9


def test_many_pages_wait_without_holding_up_an_answer(at: Bench) -> None:
    """More pages wait than there are threads, and the map is answered meanwhile."""
    edition = at.get("edition")["edition"]
    waiting = [
        threading.Thread(target=at.get, args=("edition",), kwargs={"since": edition, "wait_s": 5})
        for _ in range(60)
    ]
    with at.client:  # one loop for all
        for each in waiting:
            each.start()
        time.sleep(0.5)
        assert at.get("rows/offtakes/A")["key"] == "A"
        assert sum(each.is_alive() for each in waiting) > 40
        at.edit(change("wear_cost_year", 100.0, 120.0))
        for each in waiting:
            each.join(30)


def test_what_another_program_changed_is_shown_too(at: Bench, tmp_path: Path) -> None:
    """An edit through another connection to the same database brings a new edition."""
    other = open_register(str(tmp_path / "small.sqlite"))
    edit = Edit(new_id(), (Change("offtakes", "A", "capacity_m3s", 0.2, 0.4),), "elsewhere")
    other.apply(edit, Check())
    other.close()
    end = time.monotonic() + 60
    while at.get("edition")["revision"] < 2 and time.monotonic() < end:
        time.sleep(0.05)
    assert capacities(at)[0] == 0.4


def test_a_new_edition_that_cannot_be_worked_out_leaves_the_old_one(
    at: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The failure is told without its inside; the next edit is worked out again."""

    def broken(*_: Any) -> Any:
        raise ZeroDivisionError("inside")

    first = at.get("edition")
    monkeypatch.setattr(working_module, "view_of", broken)
    at.edit(change("wear_cost_year", 100.0, 120.0))
    told = at.settled()
    assert told["edition"] == first["edition"]
    assert told["failure"] == working_module.UNFORESEEN
    monkeypatch.undo()
    at.edit(change("wear_cost_year", 120.0, 130.0))
    told = at.settled()
    assert (told["failure"], told["revision"]) == (None, 3)


def test_an_old_case_shows_its_own_data(at: Bench) -> None:
    """Through a case everything is as it stood when it was saved, its version and edition too."""
    case = saved_case(at)
    present = at.get("catchment", case=case)
    before = capacities(at)
    at.edit(change("capacity_m3s", 0.2, 0.4))
    at.settled()
    assert capacities(at)[0] == 0.4
    assert capacities(at, case=case) == before
    facts = at.get("catchment", case=case)
    assert facts["data_version"] == present["data_version"]
    assert facts["edition"] == present["edition"]
    assert (facts["case"], facts["revision"], facts["working"]) == (case, None, True)


def test_a_case_is_still_there_for_a_new_service(at: Bench, tmp_path: Path) -> None:
    """Its data is read from the database and worked out again, with the same numbers."""
    case = saved_case(at)
    ranks = at.get("offtakes")["rank"]
    at.edit(change("capacity_m3s", 0.2, 0.9))
    at.settled()
    again = working_module.open_working(str(tmp_path / "small.sqlite"))
    try:
        client = TestClient(create_app(again), base_url=HERE)
        shown = client.get("/api/offtakes", params={"case": case}).json()
        assert (shown["rank"], shown["capacity_m3s"][0]) == (ranks, 0.2)
        assert client.get("/api/offtakes").json()["capacity_m3s"][0] == 0.9
    finally:
        again.close()


def test_an_unknown_case_is_not_found(at: Bench) -> None:
    """Nothing is shown in its place, and nothing of it is kept."""
    for _ in range(2):
        answer = at.client.get("/api/offtakes", params={"case": new_id()})
        assert answer.status_code == 404
        assert "etag" not in answer.headers


def test_an_empty_database_is_refused(tmp_path: Path) -> None:
    """There is nothing to show before the first import."""
    register = open_register(str(tmp_path / "empty.sqlite"), create=True)
    with pytest.raises(UsageError, match="slackwater import"):
        working_module.Working(register)
    register.close()
