"""Answers that many ask for go out again as they were, each to its own address."""

from __future__ import annotations

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.types import Scope

from slackwater.api.kept import Kept


def counting_app(most_bytes: int = 4000) -> tuple[TestClient, list[str]]:
    """An app that notes what it was asked and answers with the address."""
    asked: list[str] = []

    def answer(request: Request) -> PlainTextResponse:
        asked.append(str(request.url))
        status = 404 if "missing" in request.url.path else 200
        return PlainTextResponse(str(request.url) * 10, status_code=status)

    async def edition(_: Scope) -> str:
        return "1"

    app = Starlette(routes=[Route("/{rest:path}", answer)])
    return TestClient(Kept(app, edition, most_bytes)), asked


def test_the_same_address_is_worked_out_once() -> None:
    """A second request is answered alike without asking again; another viewer's is its own."""
    client, asked = counting_app()
    first, second = client.get("/api/offtakes"), client.get("/api/offtakes")
    assert (first.text, dict(first.headers)) == (second.text, dict(second.headers))
    assert len(asked) == 1
    assert client.get("/api/offtakes?as=public").text != first.text
    assert len(asked) == 2


def test_errors_and_pages_are_not_kept() -> None:
    """What went wrong, what the register says and what is no data are asked for each time."""
    client, asked = counting_app()
    for _ in range(2):
        client.get("/api/offtakes/missing")
        for changing in ("edition", "edits", "rows/offtakes/A", "cases", "offers", "uploads/x"):
            client.get(f"/api/{changing}")
        client.get("/guide/methods")
    assert len(asked) == 16


def test_the_oldest_is_dropped_when_room_runs_out() -> None:
    """Never more than the room is held; what was dropped is worked out again."""
    client, asked = counting_app(most_bytes=2000)
    for n in range(12):
        client.get(f"/api/land?{n}")
    client.get("/api/land?11")
    assert len(asked) == 12
    client.get("/api/land?0")
    assert len(asked) == 13
