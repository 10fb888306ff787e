"""Pages without a mark of their own are asked for one; that is no fault."""

from __future__ import annotations

from starlette.testclient import TestClient


def test_a_browser_that_asks_for_an_icon_is_told_that_there_is_none(client: TestClient) -> None:
    """An answer without data instead of a refusal, for whoever opened a printed page."""
    answer = client.get("/favicon.ico")
    assert (answer.status_code, answer.content) == (204, b"")
