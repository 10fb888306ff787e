"""Who may do what in a meeting, and what each is told."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from slackwater.api.answers import ErrorAnswer, LeadAnswer, MeetingAnswer, NowAnswer
from slackwater.api.app import create_app
from slackwater.api.meeting_here import MeetingDoor
from slackwater.desk.showing import AsRead
from slackwater.desk.working import Working
from tests.contracts.meeting.hall import LEVELS, Hall, Service, refused
from tests.contracts.small_register import HERE, ended, new_id
from tests.contracts.small_view import small_view

TRIAL = {"weights": {"risk": 500, "overlap": 200, "cost": 300}, "budget": 62_000.0, "way": "score"}


def test_a_meeting_rests_on_a_shared_case_and_has_an_end(service: Service, case_id: str) -> None:
    """Not on one that may still be taken away, on none, for no hours or for days."""
    own = ended(service.client, "/api/cases", {"id": new_id(), "name": "Mine", "trial": TRIAL})
    for asked, told in (({"case_id": own["answer"]["id"]}, (400, "usage_error")),
                        ({"case_id": new_id()}, (404, "not_here")),
                        ({"case_id": case_id, "hours": 0}, (400, "bad_request")),
                        ({"case_id": case_id, "hours": 25}, (400, "bad_request"))):  # fmt: skip
        assert refused(service.client.post("/api/meetings", json=asked)) == told


def test_the_key_is_told_once(service: Service, hall: Hall) -> None:
    """The list says what was opened, when and by whom; nothing that leads it."""
    listed = service.client.get("/api/meetings")
    head = next(each for each in listed.json()["meetings"] if each["code"] == hall.code)
    assert (head["live"], head["case_name"], head["ended_at"]) == (True, "Round one", None)
    assert hall.key not in listed.text


def test_eight_meetings_at_once_are_enough(service: Service, case_id: str) -> None:
    """The ninth is refused in words, until one has ended."""
    halls = [service.opened(case_id) for _ in range(8)]
    asked = {"case_id": case_id}
    assert refused(service.client.post("/api/meetings", json=asked)) == (429, "busy")
    service.client.delete(f"/api/meetings/{halls[0].code}")
    assert service.client.post("/api/meetings", json=asked).status_code == 201


def test_a_code_is_taken_however_it_is_typed(service: Service, hall: Hall) -> None:
    """With spaces, hyphens and small letters; another letter is another meeting, which is none."""
    code = hall.code
    for typed in (f"{code[:3]} {code[3:]}", f"{code[:3]}-{code[3:]}".lower(), f" {code} "):
        assert service.client.get(f"/api/meet/{typed}").json()["code"] == code
    for typed in ("K7R", "000000", code + "2", "%00", "..", "K7RM4P"):
        answer = service.client.get(f"/api/meet/{typed}/now")
        assert answer.status_code in (400, 404), typed


def test_what_is_told_has_its_described_shape(hall: Hall) -> None:
    """What stays, what stands, and what the facilitator sees, with phones and a trial."""
    for levels in LEVELS:
        hall.weigh(levels)
    hall.lead("trial", shown=True)
    hall.agree("trial", "Start here.", "Who pays?")
    MeetingAnswer.model_validate(hall.ask("GET").json())
    NowAnswer.model_validate(hall.now())
    lead = LeadAnswer.model_validate(hall.ask("GET", "/lead", key=hall.key).json())
    assert (lead.tried, lead.agreed.left_open) == (len(LEVELS), "Who pays?")
    assert lead.wall.agreed is not None
    assert "left_open" not in hall.now()["agreed"]


def test_what_stays_is_sent_once(hall: Hall) -> None:
    """By its tag: 304 as long as it is the same, which is all its life."""
    tag = hall.ask("GET").headers["etag"]
    hall.weigh()
    hall.lead("step", step="list")
    assert hall.ask("GET", headers={"If-None-Match": tag}).status_code == 304
    assert hall.ask("GET", headers={"If-None-Match": '"x"'}).status_code == 200


def test_the_news_begin_with_what_stands(hall: Hall) -> None:
    """As server-sent events, not compressed and kept by nobody; a phone that is none is told so."""
    answer = hall.ask("GET", "/news", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["content-type"].startswith("text/event-stream")
    assert answer.headers["cache-control"] == "no-store"
    assert "content-encoding" not in answer.headers
    assert answer.text.startswith("event: now\r\ndata: {")
    assert refused(hall.ask("GET", "/news", phone="none")) == (410, "join_again")


BAD_LEVELS: list[Any] = [
    {"risk": 1, "overlap": 1}, {"risk": 1, "overlap": 1, "cost": 1, "more": 1},
    {"risk": 0, "overlap": 0, "cost": 0}, {"risk": 11, "overlap": 1, "cost": 1},
    {"risk": -1, "overlap": 1, "cost": 1}, {"risk": 1.5, "overlap": 1, "cost": 1},
    {"risk": "1", "overlap": 1, "cost": 1}, {"risk": True, "overlap": 1, "cost": 1},
    {"risk": 10**30, "overlap": 1, "cost": 1}, {"risk": None, "overlap": 1, "cost": 1}, [], "x",
]  # fmt: skip


def test_levels_that_are_none_change_nothing(hall: Hall) -> None:
    """Refused as a whole; what the phone set before stands."""
    for levels in BAD_LEVELS:
        phone = hall.weigh(LEVELS[1], "angler")
        before = hall.ask("GET", "/mine", phone=phone).json()
        answer = hall.ask("PUT", "/mine", phone=phone, json={"levels": levels, "group": "council"})
        assert answer.status_code == 400, levels
        assert hall.ask("GET", "/mine", phone=phone).json() == before


def test_a_group_is_chosen_without_weights_and_taken_back(hall: Hall) -> None:
    """Levels of null leave what was set; no group is one of those that may be named."""
    phone = hall.join()
    for group in ("traditional owner", ""):
        told = hall.ask("PUT", "/mine", phone=phone, json={"levels": None, "group": group})
        assert told.json() == {"inside": [], "weights": {}}
        assert hall.ask("GET", "/mine", phone=phone).json()["group"] == group
    answer = hall.ask("PUT", "/mine", phone=phone, json={"levels": None, "group": "the mayor"})
    assert answer.status_code == 400
    assert hall.now()["tried"] == 0


def test_a_weighting_taken_back_counts_no_more(hall: Hall) -> None:
    """No levels at all: the phone stays in, says what it said else, and nothing is tried."""
    phones = [hall.weigh(levels, "angler") for levels in LEVELS]
    assert hall.now()["room"] is not None
    told = hall.ask("PUT", "/mine", phone=phones[0], json={"levels": {}, "group": "angler"})
    assert told.json() == {"inside": [], "weights": {}}
    mine = hall.ask("GET", "/mine", phone=phones[0]).json()
    assert (mine["levels"], mine["weights"], mine["group"]) == (None, None, "angler")
    now = hall.now()
    assert (now["tried"], now["room"], now["phones"]) == (len(LEVELS) - 1, None, len(LEVELS))


def test_words_are_written_down_by_one_facilitator_at_a_time(hall: Hall) -> None:
    """Who has not seen the newest is refused with it, and nothing is written over."""
    assert hall.lead("agreed", what="case", words="First.", left_open="", seen=0).status_code == 200
    late = {"what": "same", "words": "Second.", "left_open": "Who pays?", "seen": 0}
    answer = hall.lead("agreed", **late)
    assert refused(answer) == (409, "changed_meanwhile")
    stands = {"what": "case", "words": "First.", "left_open": "", "revision": 1}
    assert answer.json()["error"]["agreed"] == stands
    ErrorAnswer.model_validate(answer.json())
    lead = hall.ask("GET", "/lead", key=hall.key).json()["agreed"]
    assert {name: lead[name] for name in stands} == stands
    agreed = hall.lead("agreed", **{**late, "seen": 1}).json()["agreed"]
    assert (agreed["what"], agreed["words"], agreed["revision"]) == ("case", "Second.", 2)
    for bad in ({"seen": -1}, {"seen": "1"}, {"what": "none"}):
        assert refused(hall.lead("agreed", **(late | bad))) == (400, "bad_request")


def test_places_are_for_the_facilitator_alone(hall: Hall) -> None:
    """At most three, on the map, in few words and one line; told to phone and facilitator."""
    phone = hall.join()

    def put(*places: Any) -> int:
        answer = hall.ask("PUT", "/mine/places", phone=phone, json={"places": places})
        return int(answer.status_code)

    assert put({"x": 10, "y": 12.5, "words": " the old\n ford "}) == 204
    assert put(*[{"x": 1, "y": 1}] * 4) == 400
    assert put({"x": 5000, "y": 1}) == 400
    assert put({"x": 1, "y": 1, "words": "x" * 141}) == 400
    seen = hall.ask("GET", "/lead", key=hall.key).json()["places"]
    assert [(each["x_mm"], each["y_mm"], each["words"]) for each in seen] == [
        (10, 12.5, "the old ford")
    ]
    everyone = "".join(hall.ask("GET", path).text for path in ("", "/now", "/news"))
    assert "the old ford" not in everyone


def test_the_facilitator_has_the_key_of_this_meeting(
    service: Service, hall: Hall, case_id: str
) -> None:
    """Neither nothing, nor another meeting's key, nor a phone's token, nor who somebody is."""
    other = service.opened(case_id)
    before = hall.now()
    for key in ("", other.key, hall.join(), hall.key[:-1], "é", "x" * 5000):
        sent = {"X-Slackwater-Key": key.encode()} if key else {}
        for method, path, body in (("GET", "/lead", None), ("PUT", "/lead/step", {"step": "room"}),
                                   ("PUT", "/lead/hold", {"held": True}),
                                   ("POST", "/lead/close", None)):  # fmt: skip
            answer = hall.ask(method, path, headers=sent, json=body)
            assert refused(answer) == (403, "wrong_key"), (key, path)
    assert {**hall.now(), "phones": 0, "at": ""} == {**before, "phones": 0, "at": ""}


def test_on_an_open_network_the_facilitator_is_heard_from_this_machine_alone(
    service: Service, hall: Hall
) -> None:
    """By loopback or by its own address; whoever else has the key is refused in words."""
    service.app.state.meeting_door = MeetingDoor("http://10.0.0.5:8770", near_only=True)
    for client, step in (("192.168.43.7", ""), ("127.0.0.1", "list"), ("", ""), ("::1", "room"),
                         ("10.0.0.5", "choice"), ("10.0.0.6", "")):  # fmt: skip
        before = hall.now()["step"]
        answer = TestClient(seen_from(service, client), base_url=HERE).put(
            f"/api/meet/{hall.code}/lead/step",
            json={"step": step or "problem"},
            headers={"X-Slackwater-Key": hall.key},
        )
        assert hall.now()["step"] == (step or before), client
        if not step:
            assert refused(answer) == (403, "not_from_here")


def seen_from(service: Service, client: str) -> Any:
    """Give the service as somebody of another address reaches it."""

    async def app(scope: Any, receive: Any, send: Any) -> None:
        scope |= {"client": (client, 4711), "server": ("10.0.0.5", 8770)}
        await service.app(scope, receive, send)

    return app


def test_a_closed_door_keeps_those_that_are_in(hall: Hall) -> None:
    """No further phone; one that is in goes on."""
    phone = hall.join()
    hall.lead("door", open=False)
    assert refused(hall.ask("POST", "/join", json={})) == (403, "door_closed")
    hall.weigh(phone=phone)
    hall.lead("door", open=True)
    assert hall.join()


def test_the_square_holds_the_address_that_phones_open(service: Service, hall: Hall) -> None:
    """Black on white with its quiet zone and no style; none where phones cannot reach."""
    assert refused(hall.ask("GET", "/qr.svg")) == (404, "no_address")
    assert hall.ask("GET").json()["join"] == ""
    service.app.state.meeting_door = MeetingDoor("https://river.example")
    answer = hall.ask("GET", "/qr.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "style" not in answer.text
    static = hall.ask("GET").json()
    assert static["join"] == f"https://river.example/meet/{hall.code}"
    assert static["join_short"] == "river.example/meet"


def test_where_a_file_is_served_there_are_no_meetings() -> None:
    """404 for lead and phones; nothing can be kept there."""
    client = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    assert client.get("/api/meetings").status_code == 404
    for path in ("/api/meet/K7RM4P", "/api/meet/K7RM4P/news"):
        assert refused(client.get(path)) == (404, "no_meeting")
    assert client.get("/meet/K7RM4P/minutes").status_code == 404


def test_pages_hold_no_data(service: Service, hall: Hall, working: Working) -> None:
    """They are the same for every code, one that is none too."""
    del working
    for page in ("/meet/{}", "/meet/{}/wall", "/meet/{}/lead"):
        answers = [service.client.get(page.format(code)) for code in (hall.code, "K7RM4P")]
        assert answers[0].content == answers[1].content
        assert answers[0].status_code in (200, 404)
