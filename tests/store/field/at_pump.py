"""Phones that write notes without a signal and send them later, to the service over a database."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk.working import Working, open_working
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Run
from tests.store.said import fresh_id

HERE = "http://127.0.0.1:8765"
MORNING = datetime(2026, 3, 1, 8, tzinfo=UTC)
Note = dict[str, Any]


def a_run(*codes: str, **more: Any) -> Run:
    """Make a run of one day that stops at some offtakes."""
    stops = [
        {"code": code, "measure": [{"input": "draw", "words": "read the plate"}]} for code in codes
    ]
    said = {"id": fresh_id(), "name": "Lower river", "on": "2026-03-01", "officer": "",
            "days": ({"stops": stops},), "data_version": "0123456789ab"}  # fmt: skip
    return Run(**said | more)


@dataclass
class Phone:
    """A phone with an outbox; its clock goes on by a minute with every note."""

    run_id: str
    name: str = field(default_factory=fresh_id)
    by: str = "kim"
    at: datetime = MORNING
    newest: dict[tuple[str, str], str] = field(default_factory=dict)
    outbox: list[Note] = field(default_factory=list)

    def write(self, code: str, of: str, typed: str, unit: str = "", **more: Any) -> Note:
        """Write a note; it waits in the outbox."""
        self.at += timedelta(minutes=1)
        note = {"id": fresh_id(), "run_id": self.run_id, "code": code, "field": of, "typed": typed,
                "unit": unit, "value": None, "at": self.at.isoformat(), "phone": self.name,
                "after": self.newest.get((code, of), ""), "by": self.by} | more  # fmt: skip
        self.newest[code, of] = note["id"]
        self.outbox.append(note)
        return note


@dataclass
class Desk:
    """The service and the database below it."""

    working: Working
    client: TestClient

    @property
    def book(self) -> FieldBook:
        """The field book."""
        return FieldBook(self.working.register)

    def send(self, notes: Sequence[Any], status: int = 200) -> dict[str, Any]:
        """Send notes and give the answer."""
        return self.post("notes", status, notes=list(notes))

    def post(self, path: str, status: int = 200, **body: Any) -> dict[str, Any]:
        """Send a body and give the answer."""
        answer = self.client.post(f"/api/{path}", json=body)
        assert answer.status_code == status, answer.text
        return answer.json()

    def get(self, path: str, status: int = 200, **asked: Any) -> dict[str, Any]:
        """Ask."""
        answer = self.client.get(f"/api/{path}", params=asked)
        assert answer.status_code == status, answer.text
        return answer.json()

    def notes(self, run_id: str) -> list[Note]:
        """Give a run's notes as they are told."""
        return self.get("notes", run=run_id)["notes"]


@contextmanager
def served(url: str) -> Iterator[Desk]:
    """Serve a database."""
    working = open_working(url)
    try:
        client = TestClient(create_app(working), base_url=HERE, raise_server_exceptions=False)
        yield Desk(working, client)
        client.app.state.uploads.close()  # type: ignore[attr-defined]
    finally:
        working.close()
