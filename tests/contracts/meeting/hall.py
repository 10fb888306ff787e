"""A service with meetings over a database that lasts, and a clock that goes when told."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk.meeting.rooms import Rooms
from slackwater.desk.times import utc_now
from slackwater.desk.working import Working
from tests.contracts.small_register import HERE

LEVELS = (
    {"risk": 9, "overlap": 1, "cost": 0},
    {"risk": 1, "overlap": 9, "cost": 2},
    {"risk": 0, "overlap": 2, "cost": 9},
    {"risk": 4, "overlap": 3, "cost": 6},
    {"risk": 7, "overlap": 0, "cost": 5},
)
"""As many as it takes for a room to be told what it has in common."""


class Clock:
    """The time, which a test may move on."""

    def __init__(self) -> None:
        self.later = timedelta()

    def __call__(self) -> datetime:
        return utc_now() + self.later

    def go(self, **by: float) -> None:
        self.later += timedelta(**by)


class Service:
    """The agency's service, begun anew over the same database as often as wanted."""

    def __init__(self, working: Working, clock: Clock | None = None) -> None:
        self.app = create_app(working)
        self.app.state.leaving = lambda: True  # a stream gives what stands, and ends
        self.app.state.rooms = Rooms(working, clock or Clock())
        self.client = TestClient(self.app, base_url=HERE)

    def opened(self, case_id: str, hours: int = 6) -> Hall:
        """Open a meeting."""
        answer = self.client.post("/api/meetings", json={"case_id": case_id, "hours": hours})
        assert answer.status_code == 201, answer.text
        return Hall(self, answer.json()["code"], answer.json()["key"])


class Hall:
    """One meeting of it."""

    def __init__(self, service: Service, code: str, key: str) -> None:
        self.service, self.code, self.key = service, code, key

    def ask(
        self, method: str, path: str = "", *, phone: str = "", key: str = "", **more: Any
    ) -> Any:
        """Ask something, as whom is said."""
        headers = {"X-Slackwater-Phone": phone, "X-Slackwater-Key": key}
        sent = {name: value for name, value in headers.items() if value} | more.pop("headers", {})
        address = f"/api/meet/{self.code}{path}"
        return self.service.client.request(method, address, headers=sent, **more)

    def lead(self, what: str, /, **said: Any) -> Any:
        """Do something as the facilitator."""
        return self.ask("PUT", f"/lead/{what}", key=self.key, json=said)

    def agree(self, what: str, words: str = "", left_open: str = "") -> Any:
        """Write down what was agreed, having seen what stands."""
        seen = self.ask("GET", "/lead", key=self.key).json()["agreed"]["revision"]
        return self.lead("agreed", what=what, words=words, left_open=left_open, seen=seen)

    def join(self) -> str:
        """Have a phone join; gives its token."""
        answer = self.ask("POST", "/join", json={})
        assert answer.status_code == 200, answer.text
        return str(answer.json()["phone"])

    def weigh(self, levels: Any = LEVELS[0], group: str = "", phone: str = "") -> str:
        """Have a phone set levels; gives its token."""
        token = phone or self.join()
        answer = self.ask("PUT", "/mine", phone=token, json={"levels": levels, "group": group})
        assert answer.status_code == 200, answer.text
        return token

    def now(self) -> dict[str, Any]:
        """Give what the wall shows."""
        told: dict[str, Any] = self.ask("GET", "/now").json()
        return told

    def again(self, service: Service) -> Hall:
        """Give the same meeting at a service begun anew."""
        return Hall(service, self.code, self.key)


def refused(answer: Any) -> tuple[int, str]:
    """Give status and word of a refusal."""
    return answer.status_code, answer.json()["error"]["code"]
