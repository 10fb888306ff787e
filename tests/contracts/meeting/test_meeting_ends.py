"""How a meeting lasts: over a restart, to its hour or its closing, and what is left of it."""

from __future__ import annotations

import time
from typing import Any

import pytest

from slackwater.desk.meeting import closing
from slackwater.desk.working import Working
from tests.contracts.meeting.hall import LEVELS, Clock, Hall, Service, refused


def test_a_restart_loses_nothing_but_the_phones(hall: Hall, working: Working) -> None:
    """Step, trial, what was agreed and shown go on under the same key; phones join again, so the
    door is open."""
    phones = [hall.weigh(levels) for levels in LEVELS]
    hall.lead("step", step="room")
    hall.lead("trial", shown=True)
    hall.agree("trial", "Start here.", "Who pays?")
    hall.lead("door", open=False)
    before = hall.ask("GET", "/lead", key=hall.key).json()
    again = hall.again(Service(working))
    after = again.ask("GET", "/lead", key=hall.key).json()
    for what in ("step", "held", "trial", "agreed", "shown"):
        assert after[what] == before[what], what
    assert (after["phones"], after["tried"]) == (0, 0)
    assert again.ask("GET").json() == hall.ask("GET").json()
    assert refused(again.ask("GET", "/mine", phone=phones[0])) == (410, "join_again")
    for levels in LEVELS:
        again.weigh(levels)
    assert again.now()["room"] == hall.now()["room"]


def test_the_hall_waits_for_no_database(hall: Hall, working: Working) -> None:
    """Where others write, the wall goes on all the same; how it stands is kept as soon as it can
    be."""
    with working.register.connected.writing():
        began = time.monotonic()
        assert hall.lead("step", step="screens").json()["wall"]["step"] == "screens"
        assert time.monotonic() - began < 2
        assert hall.again(Service(working)).now()["step"] == "river"
    assert hall.now()["step"] == "screens"  # whoever looks has it tried again
    assert hall.again(Service(working)).now()["step"] == "screens"


def test_a_held_wall_is_held_over_a_restart(hall: Hall, working: Working) -> None:
    """It shows what it showed, figures too, whatever the facilitator did since."""
    for levels in LEVELS:
        hall.weigh(levels)
    hall.lead("step", step="room")
    hall.lead("hold", held=True)
    hall.lead("step", step="choice")
    held = hall.now()
    assert (held["step"], held["held"], held["tried"]) == ("room", True, len(LEVELS))
    again = hall.again(Service(working))
    assert again.now() == held
    assert again.ask("GET", "/lead", key=hall.key).json()["step"] == "choice"
    assert again.lead("hold", held=False).json()["wall"]["step"] == "choice"
    assert again.now()["held"] is False


def test_an_agreed_trial_becomes_a_case_like_any_other(
    service: Service, hall: Hall, case_id: str
) -> None:
    """By score under the room's middle, on the same data, without hand choices; not yet shared.
    Its minutes are for everyone who has the code."""
    for levels in LEVELS:
        hall.weigh(levels, "angler")
    trial = hall.lead("trial", shown=True).json()["trial"]
    hall.agree("trial", "Start <b>here</b>.", "Who pays?")
    closed = hall.ask("POST", "/lead/close", key=hall.key)
    assert closed.status_code == 200, closed.text
    case = service.client.get(f"/api/cases/{closed.json()['case_id']}").json()
    of = service.client.get(f"/api/cases/{case_id}").json()
    assert case["trial"]["weights"] == trial["weights"]
    assert (case["trial"]["way"], case["trial"]["budget"]) == ("score", of["trial"]["budget"])
    assert (case["copied_from"], case["shared_at"]) == (case_id, None)
    assert case["data_version"] == of["data_version"]
    assert case["result"]["inside_count"] == trial["inside"]
    assert closed.json()["minutes"] == f"/meet/{hall.code}/minutes"
    page = service.client.get(closed.json()["minutes"])
    assert page.status_code == 200
    assert "Start &lt;b&gt;here&lt;/b&gt;." in page.text
    assert "Who pays?" in page.text
    file = service.client.get(f"{closed.json()['minutes']}.pdf")
    assert file.status_code == 404 or file.content.startswith(b"%PDF")


def test_what_was_agreed_is_what_becomes_a_case(service: Service, hall: Hall) -> None:
    """Not the trial shown afterwards, though its words were mended meanwhile."""
    for levels in LEVELS:
        hall.weigh(levels)
    agreed = hall.lead("trial", shown=True).json()["trial"]
    hall.agree("trial", "We fund this.")
    hall.lead("trial", shown=False)
    for _ in range(6):
        hall.weigh(LEVELS[1])
    other = hall.lead("trial", shown=True).json()["trial"]
    assert other["weights"] != agreed["weights"]
    stands = hall.agree("same", "We fund this set.").json()["agreed"]
    assert (stands["weights"], stands["is_trial_shown"]) == (agreed["weights"], False)
    case_id = hall.ask("POST", "/lead/close", key=hall.key).json()["case_id"]
    case = service.client.get(f"/api/cases/{case_id}").json()
    assert case["trial"]["weights"] == agreed["weights"]
    assert case["result"]["inside_count"] == stands["inside_count"] == agreed["inside"]
    assert case["result"]["benefit_share"] == pytest.approx(stands["benefit_share"], rel=1e-12)


def test_after_its_end_there_are_minutes_and_nothing_else(service: Service, hall: Hall) -> None:
    """Every address says that it has ended and that there are minutes; the key opens nothing."""
    phone = hall.weigh()
    told = hall.ask("POST", "/lead/close", key=hall.key).json()
    assert told == {"minutes": f"/meet/{hall.code}/minutes", "case_id": ""}
    asked: list[tuple[str, str, Any]] = [
        ("GET", "", None), ("GET", "/now", None), ("GET", "/news", None), ("GET", "/mine", None),
        ("POST", "/join", {}), ("PUT", "/mine", {"levels": LEVELS[0], "group": ""}),
        ("GET", "/lead", None), ("POST", "/lead/close", None),
    ]  # fmt: skip
    for method, path, body in asked:
        answer = hall.ask(method, path, phone=phone, key=hall.key, json=body)
        assert refused(answer) == (404, "no_meeting"), path
        assert answer.json()["error"]["minutes"] is True
    listed = service.client.get("/api/meetings").json()["meetings"]
    head = next(each for each in listed if each["code"] == hall.code)
    assert (head["live"], head["minutes"], head["ended_at"] is None) == (False, True, False)


def test_the_lead_ends_a_meeting_with_its_minutes(service: Service, hall: Hall) -> None:
    """From the desk, without the key."""
    hall.weigh()
    assert service.client.delete(f"/api/meetings/{hall.code}").status_code == 204
    assert service.client.get(f"/meet/{hall.code}/minutes").status_code == 200
    assert refused(service.client.delete(f"/api/meetings/{hall.code}")) == (404, "no_meeting")


def test_at_its_hour_a_meeting_ends_by_itself(working: Working, case_id: str) -> None:
    """With the minutes of what was there; a month later they are gone."""
    clock = Clock()
    service = Service(working, clock)
    hall = service.opened(case_id, hours=1)
    for levels in LEVELS:
        hall.weigh(levels, "angler")
    clock.go(minutes=59)
    assert hall.ask("GET", "/now").status_code == 200
    clock.go(minutes=2)
    answer = hall.ask("GET", "/now")
    assert (refused(answer), answer.json()["error"]["minutes"]) == ((404, "no_meeting"), True)
    assert "angler" in service.client.get(f"/meet/{hall.code}/minutes").text
    clock.go(days=29)
    assert service.client.get(f"/meet/{hall.code}/minutes").status_code == 200
    clock.go(days=2)
    assert service.client.get(f"/meet/{hall.code}/minutes").status_code == 404
    assert refused(hall.ask("GET", "/now")) == (404, "no_meeting")


def test_an_hour_that_came_while_nothing_ran_ends_it_too(working: Working, case_id: str) -> None:
    """The next that asks is told so, and the minutes say what was kept."""
    hall = Service(working).opened(case_id, hours=1)
    hall.agree("case", "As it stands.")
    clock = Clock()
    clock.go(hours=3)
    again = hall.again(Service(working, clock))
    assert refused(again.ask("GET")) == (404, "no_meeting")
    assert "As it stands." in again.service.client.get(f"/meet/{hall.code}/minutes").text


def test_a_meeting_whose_minutes_cannot_be_made_ends_at_its_hour_and_not_before(
    working: Working, case_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Closed by hand it says so and goes on; by the hour it is over whatever happens."""

    def broken(*_: Any, **__: Any) -> Any:
        raise RuntimeError("no minutes today")

    clock = Clock()
    service = Service(working, clock)
    hall = service.opened(case_id, hours=1)
    monkeypatch.setattr(closing, "minutes_facts", broken)
    with pytest.raises(RuntimeError):
        hall.ask("POST", "/lead/close", key=hall.key)
    assert hall.now()["ended"] is False
    clock.go(hours=2)
    answer = hall.ask("GET", "/now")
    assert (refused(answer), answer.json()["error"]["minutes"]) == ((404, "no_meeting"), False)
    assert service.client.get(f"/meet/{hall.code}/minutes").status_code == 404


def test_a_meeting_ended_elsewhere_ends_here(hall: Hall, working: Working) -> None:
    """Another program over the same database closed it: the facilitator's next step finds out."""
    hall.again(Service(working)).service.client.delete(f"/api/meetings/{hall.code}")
    hall.lead("step", step="list")
    assert refused(hall.ask("GET", "/now")) == (404, "no_meeting")
