"""Committed money is a ledger of its own: what was promised beside what the list counts.

In the small catchment A has no quote, B has one of 50,000 for a cone screen.
"""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from tests.contracts.small_register import shown
from tests.contracts.test_offers import done, offer


def listed_cost(client: TestClient, code: str) -> float:
    """Give what the list counts for an offtake, as the page draws it up."""
    told: dict[str, Any] = client.get("/api/offtakes").json()
    cost: float = told["fund_cost"][told["offtake_id"].index(code)]
    return cost


def accepted(client: TestClient, code: str, committed: float) -> None:
    """Offer and accept, and wait until the list counts it as accepted."""
    if offer_or_none(client, code) is None:
        done(client, code, "offered", "2026-03-01")
    told = done(client, code, "accepted", "2026-03-20", committed=committed)
    shown(client, told["revision"])


def offer_or_none(client: TestClient, code: str) -> dict[str, Any] | None:
    offers = client.get("/api/offers").json()["offers"]
    return next((each for each in offers if each["code"] == code), None)


def test_a_committed_sum_stands_beside_the_cost_the_list_counts(client: TestClient) -> None:
    """Each accepted offer has both, and so have all of them together."""
    accepted(client, "A", 52_000.0)
    accepted(client, "B", 41_500.0)
    for code, committed in (("A", 52_000.0), ("B", 41_500.0)):
        told = offer(client, code)
        assert told["committed"] == committed
        assert told["counted"] == listed_cost(client, code)
        assert told["counted"] != committed
    told = client.get("/api/offers").json()
    assert told["accepted_committed"] == 93_500.0
    assert told["accepted_counted"] == listed_cost(client, "A") + listed_cost(client, "B")
    assert told["accepted_unmatched"] == 0


def test_what_is_not_accepted_is_not_counted_as_promised(client: TestClient) -> None:
    """Offered, declined or built, an offer is set beside nothing; accepted, the answer has it."""
    assert offer(client, "B")["counted"] is None
    assert offer(client, "C")["counted"] is None
    done_now = done(client, "B", "accepted", "2026-03-20", committed=40_000.0)
    assert done_now["offer"]["counted"] == listed_cost(client, "B")
    assert done(client, "B", "declined", "2026-03-21")["offer"]["counted"] is None
    told = client.get("/api/offers").json()
    assert (told["accepted_committed"], told["accepted_counted"]) == (0.0, 0.0)


def test_an_accepted_offtake_without_a_quoted_screen_says_that_none_is_held(
    client: TestClient,
) -> None:
    """Methods, section 10: by score it has its best option, in the best set whichever serves."""
    accepted(client, "A", 52_000.0)
    accepted(client, "B", 40_000.0)
    told = client.get("/api/offtakes").json()
    at = told["best_option"][told["offtake_id"].index("A")]
    note = offer(client, "A")["screen_note"]
    assert f"by score it is counted with {told['options'][at]['name']}" in note
    assert "the best set may give it another" in note
    assert offer(client, "B")["screen_note"] == ""
