"""The small catchment in a database, served and ready to be worked on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk.editing import Check
from slackwater.desk.importing import given_of
from slackwater.desk.opening import opened
from slackwater.desk.working import Working
from slackwater.store import Register, open_register
from tests.catchment.small import Small, small

HERE = "http://127.0.0.1:8765"
PATIENCE_S = 60


@dataclass
class Bench:
    """A database of the small catchment and the service over it."""

    working: Working
    client: TestClient

    @property
    def register(self) -> Register:
        """The database."""
        return self.working.register

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

    def edit(self, *changes: dict[str, Any], status: int = 200, **more: Any) -> dict[str, Any]:
        """Send an edit."""
        asked = {"id": new_id(), "why": "a reason", "changes": list(changes), **more}
        return self.post("edits", status, **asked)

    def cell(self, column: str, key: str = "A", table: str = "offtakes") -> Any:
        """Give a cell as it stands."""
        return self.get(f"rows/{table}/{key}")["cells"][column]

    def settled(self) -> dict[str, Any]:
        """Wait until the newest data is shown."""
        told = self.get("edition")
        while told["working_out"]:
            told = self.get("edition", since=told["edition"], wait_s=10)
        return told

    def standing(self) -> tuple[int, str, int]:
        """Give revision, data version and count of edits: what must not move when refused."""
        standing = self.register.standing()
        return standing.revision, standing.data_version, len(self.register.history(limit=1000))


def new_id() -> str:
    """Give an id of one's own."""
    return str(uuid4())


def change(column: str, old: Any, new: Any, key: str = "A", table: str = "offtakes") -> Any:
    """Give one change of a cell."""
    return {"table": table, "key": key, "column": column, "old": old, "new": new}


def fill(register: Register, of: Small | None = None) -> None:
    """Take the small catchment into a database."""
    raw = (of or small()).raw()
    given = given_of(opened(raw), raw)
    register.replace(given, Check(), edit_id=new_id(), why="the first import")


@contextmanager
def bench(folder: Path, of: Small | None = None) -> Iterator[Bench]:
    """Make a database in a folder and serve it."""
    register = open_register(str(folder / "small.sqlite"), create=True)
    fill(register, of)
    working = Working(register)
    try:
        client = TestClient(create_app(working), base_url=HERE, raise_server_exceptions=False)
        yield Bench(working, client)
        client.app.state.uploads.close()  # type: ignore[attr-defined]
    finally:
        working.close()
