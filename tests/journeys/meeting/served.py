"""A meeting on a shared case, served: on the small catchment for tests, on the demo to look at.

`PYTHONPATH=server:. .venv/bin/python -m tests.journeys.meeting.served [--demo] [--phones N]`
serves one until Ctrl-C and prints where everyone goes; N invented phones say what they weigh.
"""

from __future__ import annotations

import argparse
import json
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlsplit

import httpx
import uvicorn

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.api.listening import address_of, listen
from slackwater.api.meeting_here import MeetingDoor
from slackwater.desk.importing import import_catchment
from slackwater.desk.working import Working, open_working
from tests.catchment.small import Small, small
from tests.contracts.small_register import client_of, ended, new_id, working_on

DEMO = Path(__file__).resolve().parents[3] / "demo_data" / "lantern.gpkg"
BUDGETS = {"small": 62_000.0, "demo": 2.5e6}
PATIENCE_S = 20


class Looking(threading.Thread):
    """A stream of news, read as a browser reads it.

    Attributes
    ----------
    events : when each came (`time.monotonic`), its name and what it tells.
    status : of the answer; 0 before it came.
    """

    def __init__(self, address: str, headers: dict[str, str]) -> None:
        super().__init__(daemon=True)
        self.address, self.headers = address, headers
        self.events: list[tuple[float, str, Any]] = []
        self.status, self.over = 0, threading.Event()
        self._came, self._told_to_end = threading.Condition(), False

    def run(self) -> None:
        """Read until it ends."""
        with (
            suppress(httpx.HTTPError),
            httpx.stream(
                "GET", self.address, headers=self.headers, timeout=12, trust_env=False
            ) as answer,
        ):
            self.status, name = answer.status_code, ""
            for line in answer.iter_lines():
                if self._told_to_end:
                    break
                if line.startswith("event: "):
                    name = line.removeprefix("event: ")
                elif line.startswith("data: "):
                    self._take(name, json.loads(line.removeprefix("data: ")))
        with self._came:
            self.over.set()
            self._came.notify_all()

    def _take(self, name: str, told: Any) -> None:
        with self._came:
            self.events.append((time.monotonic(), name, told))
            self._came.notify_all()

    @property
    def now(self) -> Any:
        """The newest Now."""
        return next((told for _, name, told in reversed(self.events) if name == "now"), None)

    def wait(self, until: Callable[[Any], bool], within_s: float = 5.0) -> float:
        """Wait until a Now is so; gives when it came."""
        found: list[float] = []

        def there() -> bool:
            found[:] = [at for at, name, told in self.events if name == "now" and until(told)]
            return bool(found)

        with self._came:
            assert self._came.wait_for(there, within_s), self.events[-1:]
        return found[0]

    def end(self) -> None:
        """Read no further; the thread ends with the next ping at the latest."""
        self._told_to_end = True


@dataclass(frozen=True)
class MeetingServed:
    """A meeting that is on, and where."""

    address: str
    code: str
    key: str
    case_id: str
    working: Working
    app: Any

    @property
    def api(self) -> str:
        """Where its answers are."""
        return f"{self.address}/api/meet/{self.code}"

    @property
    def phone(self) -> str:
        """What a phone opens."""
        return f"{self.address}/meet/{self.code}"

    @property
    def wall(self) -> str:
        """The wall, with the key."""
        return f"{self.phone}/wall#{self.key}"

    @property
    def lead(self) -> str:
        """The facilitator's page, with the key."""
        return f"{self.phone}/lead#{self.key}"

    def client(self, **headers: str) -> httpx.Client:
        """Give a client at the meeting's answers."""
        return httpx.Client(base_url=self.api, headers=headers, trust_env=False, timeout=30)

    def static(self) -> dict[str, Any]:
        """Give what stays as it is."""
        answer = httpx.get(self.api, timeout=30, trust_env=False)
        answer.raise_for_status()
        told: dict[str, Any] = answer.json()
        return told

    def facilitator(self) -> httpx.Client:
        """Give one that has the key."""
        return self.client(**{"X-Slackwater-Key": self.key})

    @contextmanager
    def looking(self, **headers: str) -> Iterator[Looking]:
        """Follow the news in a thread of its own while the block runs."""
        looking = Looking(f"{self.api}/news", headers)
        looking.start()
        try:
            yield looking
        finally:
            looking.end()

    @contextmanager
    def opened(self, count: int, more: str = "") -> Iterator[list[str]]:
        """Open streams, read the status of each, and nothing more; they are cut off in the end.

        Parameters
        ----------
        more : further lines of the request's head.
        """
        place = urlsplit(self.api)
        ask = f"GET {place.path}/news HTTP/1.1\r\nHost: {place.netloc}\r\n{more}\r\n"
        with ExitStack() as stack:
            said = []
            for _ in range(count):
                link = stack.enter_context(socket.create_connection((place.hostname, place.port)))
                link.settimeout(10)
                link.sendall(ask.encode())
                said.append(link.recv(12).decode().rpartition(" ")[2])
            yield said

    def joined(self) -> httpx.Client:
        """Give one of a phone that has joined."""
        with self.client() as anyone:
            answer = anyone.post("/join", json={})
        answer.raise_for_status()
        return self.client(**{"X-Slackwater-Phone": answer.json()["phone"]})

    def tried(self, *levels: dict[str, int], group: str = "") -> list[httpx.Client]:
        """Have a phone join for each of some levels, and set them."""
        phones = [self.joined() for _ in levels]
        for phone, each in zip(phones, levels, strict=True):
            phone.put("/mine", json={"levels": each, "group": group}).raise_for_status()
        return phones


def shared_case(
    working: Working, budget: float, name: str = "Round one", way: str = "score"
) -> str:
    """Save a case and share it; gives its id."""
    client = client_of(working)
    criteria = [each["name"] for each in client.get("/api/catchment").json()["criteria"]]
    weights = dict.fromkeys(criteria, 0) | {"risk": 500, "overlap": 200, "cost": 300}
    trial = {"weights": weights, "budget": budget, "way": way}
    work = ended(client, "/api/cases", {"id": new_id(), "name": name, "trial": trial})
    assert work["state"] == "done", work
    case_id = str(work["answer"]["id"])
    assert client.post(f"/api/cases/{case_id}/share").status_code == 200
    return case_id


@contextmanager
def meeting_served(
    folder: Path, *, demo: bool = False, port: int = 0, way: str = "score",
    of: Small | None = None, budget: float = 0.0,
) -> Iterator[MeetingServed]:  # fmt: skip
    """Serve a database with a shared case and a meeting on it, as an agency's service does.

    Parameters
    ----------
    of : another catchment than the small one, not yet in the folder.
    """
    with a_working(folder, demo=demo, of=of) as working:
        case_id = shared_case(working, budget or BUDGETS["demo" if demo else "small"], way=way)
        with serving_meetings(working, port) as (address, app):
            opened = httpx.post(
                f"{address}/api/meetings", json={"case_id": case_id}, timeout=60, trust_env=False
            )
            opened.raise_for_status()
            told = opened.json()
            yield MeetingServed(address, told["code"], told["key"], case_id, working, app)


@contextmanager
def a_working(folder: Path, *, demo: bool = False, of: Small | None = None) -> Iterator[Working]:
    """Give a database of the small catchment, or of the demo."""
    path = folder / "meeting.sqlite"
    if demo and not path.exists():
        import_catchment(DEMO, str(path))
    working = open_working(str(path)) if path.exists() else working_on((of or small()).raw(), path)
    try:
        yield working
    finally:
        working.close()


@contextmanager
def serving_meetings(working: Working, port: int = 0) -> Iterator[tuple[str, Any]]:
    """Serve a database while the block runs; phones are pointed at the very address it has."""
    with listen("127.0.0.1", port) as listener:
        app = create_app(working, Entry())
        app.state.meeting_door = MeetingDoor(address_of(listener))
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="off"))
        app.state.leaving = lambda: server.should_exit
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        try:
            yield address_of(listener), app
        finally:
            server.should_exit = True
            thread.join(timeout=PATIENCE_S)
            assert not thread.is_alive(), "the service did not end"


def invented(number: int, criteria: list[str]) -> dict[str, int]:
    """Give levels of a phone that is made up, another for each number."""
    return {
        name: (number * (3 + place * 4) + place * 5) % 11 for place, name in enumerate(criteria)
    } | ({criteria[number % len(criteria)]: 10})


def main() -> None:
    """Serve one until told to stop."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--demo", action="store_true", help="on the demo, not the small catchment")
    asked.add_argument("--phones", type=int, default=0, help="phones that say what they weigh")
    asked.add_argument("--port", type=int, default=8771)
    given = asked.parse_args()
    with (
        TemporaryDirectory() as folder,
        meeting_served(Path(folder), demo=given.demo, port=given.port) as on,
    ):
        criteria = [each["name"] for each in on.static()["criteria"]]
        groups = ("irrigator", "angler", "council", "")
        for number in range(given.phones):
            on.tried(invented(number, criteria), group=groups[number % len(groups)])
        for what, where in (("phone", on.phone), ("wall", on.wall), ("lead", on.lead)):
            print(f"{what:6} {where}", flush=True)
        try:
            threading.Event().wait()
        except KeyboardInterrupt:
            print("ended")


if __name__ == "__main__":
    main()
