"""Streams opened without end, never read or cut off: the wall is told what happens all the same.

Source: OWASP ASVS 4.0.3, 11.1.4 and 12.1.1; CWE-400, CWE-770.
"""

from __future__ import annotations

import asyncio
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

import pytest
import uvicorn

from slackwater.api import meeting_links, meeting_news, meeting_pulse
from slackwater.api.listening import listen
from slackwater.api.meeting_limits import TooMany
from slackwater.api.meeting_links import bounded_links
from slackwater.api.meeting_news import NewsStream
from slackwater.api.meeting_pulse import MOST_AN_ADDRESS, Places
from tests.contracts.meeting.hall import LEVELS
from tests.journeys.meeting.served import MeetingServed, meeting_served

WITHIN_S = 1.0


@pytest.fixture(scope="module")
def on(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MeetingServed]:
    with meeting_served(tmp_path_factory.mktemp("streams")) as served:
        for phone in served.tried(*LEVELS):
            phone.close()
        yield served


def test_a_storm_of_streams_ends_at_its_address(on: MeetingServed) -> None:
    """So many of one address, two of each phone; the wall that is there goes on, one with the key
    comes in, and what the facilitator does is there within a second."""
    with on.facilitator() as lead, on.looking() as wall, on.joined() as phone:
        wall.wait(lambda _: True)
        token = f"X-Slackwater-Phone: {phone.headers['X-Slackwater-Phone']}\r\n"
        with on.opened(MOST_AN_ADDRESS + 6) as said, on.opened(3, more=token) as its:
            assert said.count("200") == MOST_AN_ADDRESS - 1  # the wall is one
            assert said[-6:] == ["429"] * 6
            assert its == ["200", "200", "429"]
            with on.looking(**{"X-Slackwater-Key": on.key}) as second:
                second.wait(lambda _: True)
                lead.put("/lead/step", json={"step": "list"})
                for each in (wall, second):
                    each.wait(lambda now: now["step"] == "list", WITHIN_S)
    with on.looking() as again:
        again.wait(lambda now: now["step"] == "list", 15)  # places were given back


def test_streams_that_are_cut_off_leave_nothing_behind(on: MeetingServed) -> None:
    """Opened and closed at once, many times over: no place is lost, and the wall is told."""
    for _ in range(3):
        with on.opened(60):
            pass
    with on.looking() as wall, on.facilitator() as lead:
        wall.wait(lambda _: True, 15)
        lead.put("/lead/step", json={"step": "room"})
        wall.wait(lambda now: now["step"] == "room", WITHIN_S)


def test_one_who_reads_nothing_holds_nobody_up(
    on: MeetingServed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor does it stay: what it does not take in time ends its stream, and its place is free."""
    monkeypatch.setattr(meeting_news, "SLOWEST_S", 0.2)
    gone: list[bool] = []

    async def some() -> Any:
        while True:
            yield {"event": "now", "data": "{}"}

    async def never_taken(message: Any) -> None:
        if message["type"] == "http.response.body":
            await asyncio.sleep(60)

    async def silent() -> Any:
        await asyncio.sleep(60)

    async def held_up() -> None:
        stream = NewsStream(some(), lambda: gone.append(True))
        await asyncio.wait_for(
            stream({"type": "http", "method": "GET"}, silent, never_taken), timeout=5
        )

    asyncio.run(held_up())
    assert gone == [True]
    with on.opened(40), on.looking() as wall, on.facilitator() as lead:
        wall.wait(lambda _: True)
        lead.put("/lead/step", json={"step": "problem"})
        wall.wait(lambda now: now["step"] == "problem", WITHIN_S)


def test_connections_that_ask_nothing_leave_room_for_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of one address no more than so many, and none that stays silent; another is answered."""
    near = ["127.0.0.2"]
    monkeypatch.setattr(meeting_links, "is_loopback", lambda host: host in near)

    async def app(_scope: Any, _receive: Any, send: Any) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"told"})

    with listen("127.0.0.1", 0) as listener, ExitStack() as stack:
        config = uvicorn.Config(app, http=bounded_links(5, 0.4), lifespan="off", log_level="error")
        server = uvicorn.Server(config)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
        thread.start()
        place = listener.getsockname()
        while not server.started:
            time.sleep(0.01)
        silent = [stack.enter_context(socket.create_connection(place)) for _ in range(5)]
        time.sleep(0.1)
        with socket.create_connection(place) as further:
            assert answered(further) == b""
        with socket.create_connection(place, source_address=("127.0.0.2", 0)) as other:
            assert b"200 OK" in answered(other)
        for link in silent:
            link.settimeout(5)
            assert link.recv(1) == b""
        with socket.create_connection(place) as later:
            assert b"200 OK" in answered(later)
        server.should_exit = True
        thread.join(10)


def answered(link: socket.socket) -> bytes:
    """Ask something on a connection, and give what comes back; nothing where it was cut."""
    link.settimeout(5)
    try:
        link.sendall(b"GET / HTTP/1.1\r\nHost: here\r\n\r\n")
        return link.recv(200)
    except OSError:
        return b""


def test_places_are_counted_and_given_back() -> None:
    """However many addresses there are, those with the key find one."""
    places = Places()
    for number in range(meeting_pulse.MOST_STREAMS):
        places.take("address", f"192.0.2.{number // 100}")
    for kind, who in (("address", "198.51.100.1"), ("phone", "K7RM4P 1")):
        with pytest.raises(TooMany):
            places.take(kind, who)
    places.take("key", "K7RM4P")
    places.give_back("key", "K7RM4P")
    for number in range(meeting_pulse.MOST_STREAMS):
        places.give_back("address", f"192.0.2.{number // 100}")
    assert (places.plain, dict(places.of)) == (0, {})
