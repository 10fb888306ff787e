"""Cases as a layer without places: all for the lead, shared ones for the agency, else none."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.desk.features import cases_layer
from slackwater.desk.working import Working
from tests.contracts.small_register import ended, new_id

CASES = "/ogc/collections/cases"


@pytest.fixture
def saved(client: TestClient) -> tuple[dict[str, Any], dict[str, Any]]:
    """Save two cases and share the first."""
    made = [case(client, name) for name in ("For the board", "Only tried")]
    assert client.post(f"/api/cases/{made[0]['id']}/share").status_code == 200
    return made[0], made[1]


def case(client: TestClient, name: str) -> dict[str, Any]:
    """Save a case and give it."""
    weights = {"risk": 500, "overlap": 200, "cost": 300}
    trial = {"weights": weights, "budget": 123456.0, "way": "score"}
    asked = {"id": new_id(), "name": name, "note": "QQ words", "trial": trial}
    work = ended(client, "/api/cases", asked)
    assert work["state"] == "done", work["error"]
    answer: dict[str, Any] = work["answer"]
    return answer


def features(client: TestClient, query: str) -> list[dict[str, Any]]:
    """Give the cases as one query finds them."""
    answer = client.get(f"{CASES}/items?{query}")
    assert answer.status_code == 200, answer.text
    found: list[dict[str, Any]] = answer.json()["features"]
    return found


def test_the_lead_sees_all_and_the_agency_what_is_shared(
    client: TestClient, saved: tuple[dict[str, Any], dict[str, Any]]
) -> None:
    """With what each may spend and does, the newest first; a note is the lead's alone."""
    shared, tried = saved
    assert [each["id"] for each in features(client, "")] == [tried["id"], shared["id"]]
    (told,) = features(client, "as=agency")
    assert (told["id"], told["geometry"]) == (shared["id"], None)
    assert told["properties"] == {
        "id": shared["id"],
        "name": "For the board",
        "made_at": shared["made_at"],
        "by": shared["by"],
        "shared_at": told["properties"]["shared_at"],
        "way": "score",
        "budget_money": 123456.0,
        "spent_money": float(f"{shared['spent']:.3g}"),
        "count": shared["inside_count"],
        "data_version": shared["data_version"],
    }
    assert told["properties"]["shared_at"]
    assert client.get(f"{CASES}/items/{tried['id']}?as=agency").status_code == 404
    assert client.get(f"{CASES}/items/{tried['id']}").json()["properties"]["note"] == "QQ words"


def test_what_a_case_spends_is_rounded_for_all_but_the_lead(
    client: TestClient,
    saved: tuple[dict[str, Any], dict[str, Any]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Less what the unquoted cost, a sum would be the price of the one that is quoted."""
    of_case = cases_layer.head_of
    monkeypatch.setattr(cases_layer, "head_of", lambda *told: {**of_case(*told), "spent": 61728.39})
    lead = features(client, f"name={saved[0]['name']}")[0]
    (agency,) = features(client, "as=agency")
    assert lead["properties"]["spent_money"] == 61728.39
    assert agency["properties"]["spent_money"] == 61700.0
    assert features(client, "as=agency&spent_money=61728.39") == []


@pytest.mark.usefixtures("saved")
def test_for_the_public_there_are_no_cases(client: TestClient) -> None:
    """The collection is not there: 404 at each of its addresses, not in the list, not described."""
    for below in ("", "/items", "/schema", f"/items/{new_id()}"):
        assert client.get(f"{CASES}{below}?as=public").status_code == 404
    for address in ("/ogc/collections", "/ogc/api"):
        assert "cases" not in client.get(f"{address}?as=public").text
        assert "cases" in client.get(f"{address}?as=agency").text


@pytest.mark.usefixtures("saved")
def test_an_unshared_case_is_not_found_by_its_values(client: TestClient) -> None:
    """The agency finds by name what is shared alone, and a box leaves it in."""
    assert len(features(client, "as=agency&name=For the board&bbox=0,0,1,1")) == 1
    assert features(client, "as=agency&name=Only tried") == []
    assert len(features(client, "name=Only tried&count=0")) <= 1
    assert client.get(f"{CASES}/items?as=agency&note=QQ words").status_code == 400


def test_a_case_that_is_shared_or_dropped_is_seen_at_once(
    client: TestClient, saved: tuple[dict[str, Any], dict[str, Any]]
) -> None:
    """Cases follow no edition: nothing of them is kept between two questions."""
    _, tried = saved
    assert client.delete(f"/api/cases/{tried['id']}").status_code == 204
    assert len(features(client, "")) == 1
    case(client, "A third")
    assert features(client, "")[0]["properties"]["name"] == "A third"


def test_a_register_without_cases_has_an_empty_layer(client: TestClient, working: Working) -> None:
    """/req/core/fc-response: an empty collection is a collection."""
    assert working.register.cases() == []
    assert features(client, "") == []
    assert "extent" not in client.get(CASES).json()
