"""Follow-up of offers: steps in order, money and permits, the status in the data along with them.

In the small catchment A is a candidate, B was offered before this began, C is built.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk.offer_rules import latest_today
from slackwater.desk.showing import AsRead
from slackwater.desk.working import Working
from slackwater.errors import EditConflict
from slackwater.store import Change, Edit, OfferStep
from tests.contracts.small_register import HERE, new_id, shown
from tests.contracts.small_view import small_view

Answer = dict[str, Any]


def step(code: str, what: str, on: str, **more: Any) -> dict[str, Any]:
    return {"id": new_id(), "code": code, "step": what, "on": on, **more}


def done(client: TestClient, code: str, what: str, on: str, **more: Any) -> Answer:
    answer = client.post("/api/offers", json=step(code, what, on, **more))
    assert answer.status_code == 200, answer.text
    told: Answer = answer.json()
    return told


def refused(client: TestClient, code: str, what: str, on: str, **more: Any) -> str:
    before = client.get("/api/offers").json()
    answer = client.post("/api/offers", json=step(code, what, on, **more))
    assert answer.status_code == 400, answer.text
    assert client.get("/api/offers").json() == before
    message: str = answer.json()["error"]["message"]
    return message


def offer(client: TestClient, code: str) -> Answer:
    offers = client.get("/api/offers").json()["offers"]
    found: Answer = next(each for each in offers if each["code"] == code)
    return found


def status_of(working: Working, code: str) -> str:
    table = working.register.raw().tables["offtakes"]
    at = list(table.cells["offtake_id"]).index(code)
    return str(table.cells["status"][at])


def test_an_offer_goes_its_way(client: TestClient, working: Working) -> None:
    """Offered, accepted and built: status, money, permits, what is next, and the sums follow."""
    first = done(client, "A", "offered", "2026-03-01", words="by letter")["offer"]
    assert (first["status"], first["next"]) == (
        "offered", "the landholder's answer, offered on 1 March 2026",
    )  # fmt: skip
    done(client, "A", "accepted", "2026-03-20", committed=22000.0, heritage="to_do")
    now = offer(client, "A")
    assert (now["status"], status_of(working, "A")) == ("accepted", "accepted")
    assert now["next"] == "heritage check to do; works approval to do, before ground is broken"
    done(client, "A", "note", "2026-04-01", heritage="given", works_approval="asked")
    now = offer(client, "A")
    assert (now["heritage"], now["works_approval"]) == ("given", "asked")
    assert now["next"] == "works approval asked for, not given yet, before ground is broken"
    done(client, "A", "note", "2026-04-20", works_approval="given")
    assert offer(client, "A")["next"].startswith("build it, to the design of a qualified engineer")
    done(client, "A", "built", "2026-06-01")
    assert offer(client, "A")["next"] == "say what was spent"
    last = done(client, "A", "note", "2026-06-20", spent=23000.0)["offer"]
    assert (last["status"], status_of(working, "A")) == ("built", "built")
    assert last["next"] == "nothing: it is built"
    assert last["warnings"] == ["23,000 spent is more than the 22,000 committed"]
    assert [each["step"] for each in last["steps"]] == [
        "offered", "accepted", "note", "note", "built", "note",
    ]  # fmt: skip
    told = client.get("/api/offers").json()
    assert (told["committed_total"], told["spent_total"]) == (22000.0, 23000.0)


def test_what_the_data_say_of_offers_is_listed_too(client: TestClient) -> None:
    """Offtakes offered or built before the follow-up began are there, without steps."""
    told = client.get("/api/offers").json()
    assert [(each["code"], each["status"], each["steps"]) for each in told["offers"]] == [
        ("B", "offered", []), ("C", "built", []),
    ]  # fmt: skip
    assert (told["committed_total"], told["spent_total"]) == (0.0, 0.0)
    done(client, "B", "accepted", "2026-03-20", committed=40000.0)
    assert offer(client, "B")["status"] == "accepted"


def test_steps_come_in_order(client: TestClient) -> None:
    """Accepted needs offered, built needs accepted, what is built is not offered again."""
    assert "it must be offered first" in refused(client, "A", "accepted", "2026-03-01", committed=1)
    assert "it must be accepted first" in refused(client, "A", "built", "2026-03-01")
    assert "only what was offered" in refused(client, "A", "declined", "2026-03-01")
    assert "to a candidate" in refused(client, "C", "offered", "2026-03-01")
    assert "say how much" in refused(client, "B", "accepted", "2026-03-01")


def test_days_come_in_order_and_are_past(client: TestClient) -> None:
    """No step is before the one before it, nor in the future wherever one is."""
    done(client, "A", "offered", "2026-03-01")
    assert "before the step before it" in refused(client, "A", "note", "2026-02-28")
    tomorrow = (datetime.now(UTC) + timedelta(hours=14, days=1)).date().isoformat()
    assert "in the future" in refused(client, "A", "note", tomorrow)
    assert "write it YYYY-MM-DD" in refused(client, "A", "note", "2026-02-30")
    assert "write it YYYY-MM-DD" in refused(client, "A", "note", "1 March")
    assert "write it YYYY-MM-DD" in refused(client, "A", "note", "20260301")
    done(client, "A", "note", "2026-03-01")
    done(client, "A", "note", latest_today().isoformat())


def test_declined_frees_the_money_and_may_be_offered_again(
    client: TestClient, working: Working
) -> None:
    """Who declines binds no money any more; the page is pointed to who comes in."""
    done(client, "B", "accepted", "2026-03-01", committed=40000.0)
    assert client.get("/api/offers").json()["committed_total"] == 40000.0
    declined = done(client, "B", "declined", "2026-03-09")["offer"]
    assert (declined["status"], declined["next"]) == ("declined", "see who comes in instead")
    assert client.get("/api/offers").json()["committed_total"] == 0.0
    again = done(client, "B", "offered", "2026-04-01")["offer"]
    assert (status_of(working, "B"), again["committed"]) == ("offered", None)


def test_nobody_outside_hears_who_declined(client: TestClient) -> None:
    """The public is told nothing of a declined offer, nor of any offer's steps."""
    revision = done(client, "B", "declined", "2026-03-09", words="too dear, says Bea")["revision"]
    shown(client, revision)
    public = client.get("/api/offtakes?as=public")
    row = public.json()["offtake_id"].index("B")
    assert public.json()["status"][row] is None
    assert "declined" not in public.text
    for viewer in ("public", "agency"):
        assert client.get(f"/api/offers?as={viewer}").status_code == 403
        body = step("A", "offered", "2026-03-01")
        assert client.post(f"/api/offers?as={viewer}", json=body).status_code == 403
        assert client.post(f"/api/reserve?as={viewer}", json={"budget": 1}).status_code == 403


def test_a_step_sent_again_is_written_once(client: TestClient) -> None:
    """The same id and content changes nothing; another content under the id is refused."""
    body = step("A", "offered", "2026-03-01", words="by letter")
    first = client.post("/api/offers", json=body).json()
    again = client.post("/api/offers", json=body).json()
    assert (first["repeated"], again["repeated"]) == (False, True)
    assert again["offer"] == first["offer"]
    assert again["revision"] == first["revision"]
    other = client.post("/api/offers", json={**body, "on": "2026-03-02"})
    assert (other.status_code, other.json()["error"]["code"]) == (409, "settled")
    assert len(offer(client, "A")["steps"]) == 1


def test_a_step_is_in_the_history_of_the_offtake(client: TestClient) -> None:
    """The status it sets is an edit of the kind follow_up, with who and why."""
    done(client, "A", "offered", "2026-03-01", words="by letter", by="Ada")
    (edit, *_) = client.get("/api/edits?table=offtakes&key=A").json()["edits"]
    assert (edit["kind"], edit["by"], edit["why"]) == ("follow_up", "Ada", "by letter")
    assert edit["changes"] == [
        {"table": "offtakes", "key": "A", "column": "status", "old": "candidate", "new": "offered"}
    ]


def test_step_and_status_are_written_together_or_not_at_all(working: Working) -> None:
    """Where the status was changed meanwhile, the step is not written either."""
    late = OfferStep(id=new_id(), code="A", step="offered", on="2026-03-01")
    seen = Change("offtakes", "A", "status", "declined", "offered")
    edit = Edit(id=new_id(), changes=(seen,), why="late", kind="follow_up")
    with pytest.raises(EditConflict):
        working.register.add_offer_step(late, edit, lambda _: "a version")
    assert working.register.offer_steps() == []
    assert status_of(working, "A") == "candidate"


def test_building_without_approval_is_told(client: TestClient) -> None:
    """Built without the heritage check is kept, as it happened, and stands as a warning."""
    done(client, "B", "accepted", "2026-03-01", committed=40000.0, works_approval="not_needed")
    built = done(client, "B", "built", "2026-03-02", heritage="refused")["offer"]
    assert built["warnings"] == ["built, though the heritage check is not given: refused"]
    done(client, "A", "offered", "2026-03-01")
    done(client, "A", "accepted", "2026-03-02", committed=1.0, heritage="refused")
    assert offer(client, "A")["next"].startswith("heritage check was refused: no ground may be")


@pytest.mark.parametrize(
    ("part", "status"),
    [
        ({"code": "Nowhere"}, 404),
        ({"step": "promised"}, 400),
        ({"committed": -1.0}, 400),
        ({"heritage": "perhaps"}, 400),
        ({"id": "mine"}, 400),
        ({"words": "a bell \x07"}, 400),
        ({"by": " "}, 400),
        ({"wrods": "x"}, 400),
    ],
)
def test_a_step_that_cannot_be_is_refused(
    client: TestClient, part: dict[str, Any], status: int
) -> None:
    """Nothing is written of a step that names what is not there or holds what cannot be kept."""
    before = client.get("/api/offers").json()
    answer = client.post("/api/offers", json={**step("A", "offered", "2026-03-01"), **part})
    assert answer.status_code == status, answer.text
    assert client.get("/api/offers").json() == before


def test_a_file_has_no_follow_up() -> None:
    """A catchment read from a file says how it becomes one that can be worked on."""
    reader = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    calls: list[tuple[str, str, Any]] = [
        ("GET", "/api/offers", None),
        ("POST", "/api/offers", step("A", "offered", "2026-03-01")),
        ("POST", "/api/reserve", {"budget": 1.0, "code": "A"}),
    ]
    for method, address, body in calls:
        answer = reader.request(method, address, json=body)
        assert (answer.status_code, answer.json()["error"]["code"]) == (404, "read_only")
