"""What is asked and answered about the register: edits, their history, one row, pasted rows."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from slackwater.api.answers.asked import Asked, Id, Name, Said, Value, Words, asked_like
from slackwater.api.answers.errors import FindingAnswer
from slackwater.api.answers.shape import Answer, like

MOST_CHANGES = 50_000
_ID = "0f8fad5b-d9cb-469f-a165-70867728950e"
_CHANGE = {"table": "offtakes", "key": "A", "column": "capacity_m3s", "old": 0.2, "new": 0.25}


class ChangeAsked(Asked):
    """One cell; a whole row where ``column`` is empty; a place where it is ``geometry``."""

    table: Name
    key: Name
    column: Name
    old: Value = Field(None, description="as it was seen; null or an empty text for a blank cell")
    new: Value = None


class EditAsked(Asked):
    """What one person changes at once, and why."""

    model_config = asked_like(
        {"id": _ID, "changes": [_CHANGE], "why": "read off the plate", "by": "lead"}
    )

    id: Id = Field(description="a UUID of its maker's; sent again it is done once")
    changes: list[ChangeAsked] = Field(min_length=1, max_length=MOST_CHANGES)
    why: Said
    by: Words = "lead"
    basis: Words = Field("", description="measured, estimated or assumed")
    source: Words = ""
    observed_on: Words = Field("", pattern=r"^(\d{4}-\d{2}-\d{2})?$")
    dry_run: bool = Field(False, description="check and answer, write nothing")


class UndoAsked(Asked):
    """Why an edit is taken back."""

    model_config = asked_like({"id": _ID, "why": "the plate was another pump's"})

    id: Id
    why: Said
    by: Words = "lead"


class PasteAsked(Asked):
    """Rows from a spreadsheet, the first naming the columns."""

    model_config = asked_like({"table": "offtakes", "text": "offtake_id\tcapacity_m3s\nA\t0.25\n"})

    table: Name
    text: str


class PlaceAsked(Asked):
    """Where an offtake is to stand, in degrees."""

    model_config = asked_like({"code": "A", "lon": 10.02, "lat": 50.015})

    code: Name
    lon: float = Field(ge=-180, le=180, allow_inf_nan=False)
    lat: float = Field(ge=-90, le=90, allow_inf_nan=False)


class ChangeMade(Answer):
    """One cell, row or place as it was and as it is."""

    table: str
    key: str
    column: str
    old: Any = None
    new: Any = None


class EditKept(Answer):
    """An edit that is kept; in a dry run, what would come of it."""

    model_config = like(
        {
            "id": _ID,
            "seq": 12,
            "at": "2026-01-02T00:00:00+00:00",
            "revision": 12,
            "data_version": "0123456789ab",
            "repeated": False,
            "warnings": [],
        }
    )

    id: str
    seq: int | None = Field(description="place in the history; null in a dry run")
    at: str | None
    revision: int
    data_version: str
    repeated: bool = Field(description="it was there already; nothing was written now")
    warnings: list[FindingAnswer] = Field(description="what is odd about the rows touched")


class Edition(Answer):
    """Which edition is shown, and whether a newer one is on its way."""

    model_config = like(
        {
            "edition": "0123456789ab 1 2026-01-02T00:00:00+00:00",
            "revision": 12,
            "latest_revision": 13,
            "data_version": "0123456789ab",
            "changed_at": "2026-01-02T00:00:00+00:00",
            "working_out": True,
            "failure": None,
        }
    )

    edition: str
    revision: int = Field(description="of the edition shown")
    latest_revision: int
    data_version: str
    changed_at: str
    working_out: bool
    failure: str | None = Field(None, description="why the newest data could not be worked out")


class PastEdit(Answer):
    """An edit of the history."""

    id: str
    seq: int
    at: str
    by: str
    why: str
    basis: str
    source: str
    observed_on: str
    kind: str = Field(description="edit, import, undo or follow_up")
    undoes: str
    undone_by: str
    changes: list[ChangeMade] = Field(description="the first 50")
    change_count: int


class History(Answer):
    """Past edits, the newest first."""

    model_config = like(
        {
            "edits": [
                {
                    "id": _ID,
                    "seq": 12,
                    "at": "2026-01-02T00:00:00+00:00",
                    "by": "lead",
                    "why": "read off the plate",
                    "basis": "measured",
                    "source": "visit",
                    "observed_on": "2026-01-01",
                    "kind": "edit",
                    "undoes": "",
                    "undone_by": "",
                    "changes": [_CHANGE],
                    "change_count": 1,
                }
            ],
            "more": False,
        }
    )

    edits: list[PastEdit]
    more: bool


class PastePreview(Answer):
    """What pasted rows would change; nothing is written."""

    model_config = like(
        {
            "changes": [_CHANGE],
            "unknown_columns": ["comment"],
            "unchanged_rows": 3,
            "new_rows": 0,
            "findings": [],
            "warnings": [],
        }
    )

    changes: list[ChangeMade] = Field(description="ready to be sent as one edit")
    unknown_columns: list[str]
    unchanged_rows: int
    new_rows: int
    findings: list[FindingAnswer] = Field(description="faults, were these changes made")
    warnings: list[FindingAnswer]


class PlaceFound(Answer):
    """Where an offtake would draw from; nothing is written."""

    model_config = like(
        {
            "reach_id": "up",
            "reach_name": "Upper",
            "chainage_m": 2000.0,
            "distance_m": 12.5,
            "limit_m": 250.0,
            "lon": 10.02,
            "lat": 50.015,
            "findings": [],
            "changes": [
                {
                    "table": "offtakes",
                    "key": "A",
                    "column": "geometry",
                    "old": [10.01, 50.01],
                    "new": [10.02, 50.015],
                }
            ],
        }
    )

    reach_id: str
    reach_name: str
    chainage_m: float
    distance_m: float = Field(description="from the place to the reach")
    limit_m: float = Field(description="further than this it cannot stand from its reach")
    lon: float
    lat: float
    findings: list[FindingAnswer]
    changes: list[ChangeMade] = Field(description="ready to be sent as one edit")
