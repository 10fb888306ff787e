"""Whatever a phone sends, the wall stays: it is refused, at length dropped, and nothing moves.

Source: OWASP ASVS 4.0.3, 2.2.1 and 11.1.4 (floods), 3.5.3 and 4.2.1 (tokens of others), 5.1.4,
5.3.3 (what people write stays text), 12.1.1, 13.2.2 (bodies); CWE-330, CWE-400, CWE-799.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from limits import RateLimitItemPerMinute

from slackwater.api import meeting_limits
from slackwater.api.meeting_limits import MeetingLimits
from slackwater.desk.meeting import live
from slackwater.desk.secret import digest_of
from slackwater.desk.working import Working
from slackwater.meeting import phone_book
from tests.contracts.attacks.scripts_stored import SCRIPTS
from tests.contracts.attacks.test_bodies_sent import RAW
from tests.contracts.in_a_hall import BUDGET, twelve
from tests.contracts.meeting.hall import LEVELS, Hall, Service, refused
from tests.contracts.small_register import working_on
from tests.journeys.meeting.served import shared_case

JSON = {"Content-Type": "application/json"}
MINE = {"levels": LEVELS[0], "group": ""}
STRANGE = ["9" * 5000, "1e999", "NaN", "-Infinity", "true", "null", '"6"', '"\\ud800"', "[]", "{}",
           "6.5", "1" + "0" * 400, '"<script>"', "[" * 900 + "]" * 900]  # fmt: skip


@pytest.fixture(scope="module")
def working(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Working]:
    made = working_on(twelve().raw(), tmp_path_factory.mktemp("attacked") / "twelve.sqlite")
    yield made
    made.close()


@pytest.fixture(scope="module")
def halls(working: Working) -> tuple[Hall, Hall]:
    """Two meetings at one service, five phones each."""
    service, case_id = Service(working), shared_case(working, BUDGET)
    both = service.opened(case_id), service.opened(case_id)
    for hall in both:
        for levels in LEVELS:
            hall.weigh(levels)
        hall.lead("step", step="room")
    return both


@pytest.fixture
def hall(halls: tuple[Hall, Hall]) -> Iterator[Hall]:
    """The first of them; after whatever was tried its wall is as it was and still served.

    Phones that joined for the trial and were not dropped are gone again, by the back door.
    """
    on = halls[0]
    on.service.app.state.meeting_limits = MeetingLimits()
    before = told(on)
    room = on.service.app.state.rooms.of(on.code).room
    first = room.lead().now.phones
    yield on
    on.service.app.state.meeting_limits = MeetingLimits()
    for number in range(1, room._book._joined + 1):
        if number > first:
            room.drop(number)
    assert told(on) == before


def told(hall: Hall) -> dict[str, Any]:
    """Give what the wall shows, but for when and how many are there."""
    return {**hall.now(), "at": "", "phones": 0, "tried": 0}


def send(hall: Hall, path: str, content: Any, **as_whom: str) -> Any:
    return hall.ask("PUT", path, content=content, headers=JSON, **as_whom)


def test_a_body_that_is_none_is_refused_and_its_phone_dropped_at_the_fifth(hall: Hall) -> None:
    """By each address that a phone sends to; told in few words, and nothing of it is taken."""
    for path in ("/mine", "/mine/places"):
        phone, bad = hall.join(), 0
        for what, content in RAW.items():
            answer = send(hall, path, content, phone=phone)
            if bad >= 5:
                assert refused(answer) == (410, "dropped"), what
                phone, bad = hall.join(), 0
                continue
            assert answer.status_code in (400, 413), (path, what, answer.text[:200])
            assert len(answer.content) < 2_000
            bad += 1
    assert hall.now()["tried"] == len(LEVELS)


def test_a_strange_value_anywhere_is_refused(hall: Hall) -> None:
    """As a level, a group, a place or its words; each by a phone of its own."""
    for strange in STRANGE:
        sent = [
            ("/mine", f'{{"levels": {{"risk": {strange}, "overlap": 1, "cost": 1}}, "group": ""}}'),
            ("/mine", f'{{"levels": null, "group": {strange}}}'),
            ("/mine/places", f'{{"places": [{{"x": {strange}, "y": 1, "words": ""}}]}}'),
            ("/mine/places", f'{{"places": {strange}}}'),
        ]
        for path, content in sent:
            answer = send(hall, path, content, phone=hall.join())
            fine = path == "/mine/places" and strange in ("6.5", '"6"', "[]", "true")
            assert answer.status_code in ((204, 400) if fine else (400, 413)), (path, content[:99])


def test_a_large_body_costs_nothing(hall: Hall) -> None:
    """Above 4 kB by what it says or what it is: 413 before it is read as anything."""
    large = json.dumps({"levels": LEVELS[0], "group": "x" * 5_000})
    for content in (large, iter([large[:3000].encode(), large[3000:].encode()])):
        answer = send(hall, "/mine", content, phone=hall.join())
        assert refused(answer) == (413, "too_large")
    for content in (large, iter([large.encode()])):
        answer = send(hall, "/lead/step", content, key=hall.key)
        assert refused(answer) == (413, "too_large")


def test_a_flood_is_refused_and_then_dropped_with_all_it_said(hall: Hall) -> None:
    """Ten at once, then 429; after forty of these the phone is gone, and its token with it."""
    phone = hall.weigh(LEVELS[2], "council")
    places = {"places": [{"x": 1, "y": 1, "words": "here"}]}
    assert hall.ask("PUT", "/mine/places", phone=phone, json=places).status_code == 204
    answers = [hall.ask("PUT", "/mine", phone=phone, json=MINE) for _ in range(90)]
    statuses = [answer.status_code for answer in answers]
    assert 8 <= statuses.count(200) < 30
    assert statuses.count(429) >= 30
    assert refused(answers[-1]) == (410, "dropped")
    limited = next(answer for answer in answers if answer.status_code == 429)
    assert refused(limited) == (429, "too_many")
    assert int(limited.headers["retry-after"]) >= 1
    for method, path in (("GET", "/mine"), ("PUT", "/mine/places"), ("GET", "/news")):
        assert refused(hall.ask(method, path, phone=phone, json=places)) == (410, "dropped")
    lead = hall.ask("GET", "/lead", key=hall.key).json()
    assert (lead["tried"], lead["groups"]["council"], lead["places"]) == (len(LEVELS), 0, [])


def test_no_token_but_one_s_own_opens_anything(halls: tuple[Hall, Hall], hall: Hall) -> None:
    """Nothing, guesses, another meeting's, the key, a digest, a number: join again."""
    other = halls[1].join()
    forged = ["", "1", "7", other, hall.key, digest_of(hall.join()), "x" * 5_000, "é", "null",
              "' OR 1=1 --", hall.join()[:-1]]  # fmt: skip
    for token in forged:
        sent = {"X-Slackwater-Phone": token.encode()} if token else {}
        for method, path in (("GET", "/mine"), ("PUT", "/mine"), ("PUT", "/mine/places")):
            body = MINE if path == "/mine" else {"places": []}
            answer = hall.ask(method, path, headers=sent, json=body)
            assert refused(answer) == (410, "join_again"), (token, path)
    assert halls[1].ask("GET", "/mine", phone=other).status_code == 200


def test_a_phone_leads_nothing(hall: Hall) -> None:
    """Its token is no key, whichever header it comes in."""
    phone = hall.join()
    for sent in ({"phone": phone}, {"key": phone}, {"phone": hall.key}):
        answer = hall.ask("PUT", "/lead/step", json={"step": "choice"}, **sent)
        assert refused(answer) == (403, "wrong_key")


def test_whoever_guesses_codes_is_stopped_and_holds_up_nobody_who_is_in(
    hall: Hall,
) -> None:
    """After sixty in a minute the right one is refused too; phones and the key go on."""
    phone = hall.join()
    client = hall.service.client
    guesses = [f"{a}{b}WXYZ" for a in "23456789" for b in "23456789"]
    statuses = [client.get(f"/api/meet/{code}/now").status_code for code in guesses]
    assert statuses == [404] * 60 + [429] * 4
    assert refused(hall.ask("GET", "/now")) == (429, "too_many")
    assert client.get(f"/meet/{guesses[0]}/minutes.pdf").status_code == 429
    assert hall.ask("PUT", "/mine", phone=phone, json=MINE).status_code == 200
    assert hall.ask("GET", "/lead", key=hall.key).status_code == 200
    assert hall.ask("GET", "/news", key=hall.key).status_code == 200


def test_whoever_asks_without_end_is_answered_less(
    hall: Hall, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So many questions a minute of one address and no more; the key and phones go on."""
    monkeypatch.setattr(meeting_limits, "LOOKS", RateLimitItemPerMinute(40))
    phone = hall.join()
    statuses = [hall.ask("GET", "/lead", key="none").status_code for _ in range(50)]
    assert statuses == [403] * 39 + [429] * 11
    assert refused(hall.ask("GET", "/now", phone=phone)) == (429, "too_many")
    assert hall.ask("PUT", "/mine", phone=phone, json=MINE).status_code == 200
    assert hall.ask("GET", "/now", key=hall.key).status_code == 200


def test_a_join_storm_ends_at_the_door(hall: Hall, monkeypatch: pytest.MonkeyPatch) -> None:
    """So many a minute from one address; so many in all, said in words; those in go on."""
    phone = hall.weigh(LEVELS[0], phone=hall.join())
    monkeypatch.setattr(phone_book, "MOST_PHONES", 6)
    statuses = [hall.ask("POST", "/join", json={}).status_code for _ in range(125)]
    assert statuses[:119].count(200) + statuses[:119].count(503) == 119
    assert statuses[-4:] == [429] * 4
    assert hall.now()["phones"] <= 6
    assert hall.ask("PUT", "/mine", phone=phone, json=MINE).status_code == 200


def test_what_is_written_beside_a_place_stays_text_and_with_the_facilitator(hall: Hall) -> None:
    """Scripts are told as they were written, as JSON; no wall, phone or minutes has them."""
    for words in [each for each in SCRIPTS if len(each) <= 140]:
        phone = hall.join()
        body = {"places": [{"x": 5, "y": 5, "words": words}]}
        put = hall.ask("PUT", "/mine/places", phone=phone, json=body)
        assert put.status_code in (204, 400)
        lead = hall.ask("GET", "/lead", key=hall.key)
        assert lead.headers["content-type"] == "application/json"
        if put.status_code == 204:
            assert [each["words"] for each in lead.json()["places"]] == [" ".join(words.split())]
        everyone = "".join(hall.ask("GET", path).text for path in ("", "/now", "/news"))
        assert words not in everyone
        hall.service.app.state.rooms.of(hall.code).drop(digest_of(phone))


def test_a_foreign_page_joins_nobody(hall: Hall) -> None:
    """What another origin sends by itself is refused, with the key too."""
    foreign = {"Origin": "https://elsewhere.example"}
    before = hall.now()["phones"]
    answer = hall.ask("POST", "/join", json={}, headers=foreign)
    assert refused(answer) == (403, "foreign_origin")
    answer = hall.ask("PUT", "/lead/step", json={"step": "list"}, key=hall.key, headers=foreign)
    assert refused(answer) == (403, "foreign_origin")
    assert hall.now()["phones"] == before


def test_tokens_and_keys_are_random_and_only_their_digests_are_kept(hall: Hall) -> None:
    """256 bits each, no two alike; in memory and database there is what they are known by."""
    tokens = {hall.join() for _ in range(20)} | {hall.key}
    assert len(tokens) == 21
    assert {len(each) for each in tokens} == {43}
    room = hall.service.app.state.rooms.of(hall.code)
    kept = f"{vars(room)} {vars(room.room)} {vars(room.room._book)} {room.meeting}"
    assert [each for each in tokens if each in kept] == []
    assert isinstance(room, live.LiveMeeting)
