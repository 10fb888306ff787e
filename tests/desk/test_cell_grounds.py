"""The why panel tells how each cell came about: as its edit said, else as the row says."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from slackwater.desk.working import Working
from tests.catchment.small import small
from tests.contracts.small_register import client_of, new_id, shown, working_on

MEASURED = {"basis": "measured", "source": "visit, run SECRET names", "observed_on": "2026-03-02"}
ROW = {"basis": "estimated", "source": "SEEDED survey", "observed_on": "2020-05-01"}
COLUMN = "capacity_m3s"


def input_of(client: TestClient, viewer: str = "lead") -> dict[str, Any]:
    told = client.get(f"/api/offtakes/A/why?as={viewer}").raise_for_status().json()
    return next(each for each in told["inputs"] if each["column"] == COLUMN)


def said_of(told: dict[str, Any]) -> dict[str, Any]:
    return {name: told[name] for name in ("basis", "source", "observed_on", "by")}


def edit(client: TestClient, old: Any, new: Any, **said: str) -> str:
    """Change the cell and wait until that is shown; gives the edit's id."""
    change = {"table": "offtakes", "key": "A", "column": COLUMN, "old": old, "new": new}
    body = {"id": new_id(), "why": "off the plate", "by": "Ada", "changes": [change], **said}
    answer = client.post("/api/edits", json=body).raise_for_status().json()
    shown(client, answer["revision"])
    return body["id"]


def undo(client: TestClient, edit_id: str) -> str:
    body = {"id": new_id(), "why": "wrong plate", "by": "Ada"}
    answer = client.post(f"/api/edits/{edit_id}/undo", json=body)
    shown(client, answer.raise_for_status().json()["revision"])
    return body["id"]


def seeded(path: Path) -> Working:
    of = small()
    for column, cell in ROW.items():
        of.set("offtakes", 0, column, cell)
    return working_on(of.raw(), path / "grounds.sqlite")


def test_a_measured_cell_is_told_as_measured_until_that_is_undone(tmp_path: Path) -> None:
    """Basis and date of its edit, by whom and from where for the lead alone; other cells as before.

    An edit that says nothing, and an undone one, leave what stood before.
    """
    working = seeded(tmp_path)
    client = client_of(working)
    row = {**ROW, "by": ""}
    first = input_of(client)
    assert said_of(first) == row
    value = first["value"]
    done = edit(client, value, value * 2, **MEASURED)
    assert said_of(input_of(client)) == {**MEASURED, "by": "Ada"}
    told = client.get("/api/offtakes/A/why?as=lead").json()["inputs"]
    assert {each["basis"] for each in told if each["column"] == "kind"} == {"estimated"}
    assert said_of(input_of(client, "agency")) == {**MEASURED, "source": "", "by": "lead"}
    for viewer in ("agency", "public"):
        assert "SECRET" not in client.get(f"/api/offtakes/A/why?as={viewer}").text
    back = undo(client, done)
    assert said_of(input_of(client)) == row
    undo(client, back)
    assert said_of(input_of(client)) == {**MEASURED, "by": "Ada"}
    edit(client, value * 2, value * 3)
    assert said_of(input_of(client)) == row
    working.close()
