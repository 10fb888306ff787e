"""What is asked and answered about notes from the field, their photos, and choices between them."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from slackwater.api.answers.asked import Asked, Id, Said, Words, asked_like
from slackwater.api.answers.shape import Answer, like

MOST_NOTES = 200
"""Notes, ids or picks at once."""
_ID = "0f8fad5b-d9cb-469f-a165-70867728950e"
_RUN = "7c9e6679-7425-40de-944b-e07fc1f90ae7"
_NOTE = {
    "id": _ID,
    "run_id": _RUN,
    "code": "A",
    "field": "plate_capacity",
    "typed": "21.6",
    "unit": "ML/d",
    "value": 0.25,
    "at": "2026-03-01T09:30:00.000+10:00",
    "phone": "a3f1",
    "after": "",
    "by": "kim",
}
KEPT = {**_NOTE, "received_at": "2026-03-02T07:00:00.000+00:00"}


Ids = Annotated[list[Id], Field(min_length=1, max_length=MOST_NOTES)]


class NotesAsked(Asked):
    """Notes of a phone; each is looked at by itself, so that one at fault holds no other up."""

    model_config = asked_like({"notes": [_NOTE]})

    notes: list[Any] = Field(min_length=1, max_length=MOST_NOTES)


class NoteAnswer(Answer):
    """A note as it is kept; it never changes."""

    model_config = like(KEPT)

    id: str
    run_id: str
    code: str
    field: str
    typed: str = Field(description="as it was typed")
    unit: str
    value: float | str | None = Field(description="SI, or text; null where blank or taken back")
    at: str = Field(description="ISO, by the phone's clock")
    phone: str
    after: str
    by: str
    received_at: str


class NoteConflict(Answer):
    """A note sent now, and one that says otherwise; both stand until somebody chooses."""

    id: str
    other: NoteAnswer


class NoteRefused(Answer):
    """A note that is not kept, and why."""

    id: str
    why: str


class NotesKept(Answer):
    """What became of notes that were sent; those kept and known cannot be lost any more."""

    model_config = like({"kept": [_ID], "known": [], "conflicts": [], "refused": []})

    kept: list[str]
    known: list[str] = Field(description="were there already, as they were sent")
    conflicts: list[NoteConflict]
    refused: list[NoteRefused]


class Contested(Answer):
    """Notes of one field that contradict each other."""

    code: str
    field: str
    notes: list[NoteAnswer]


class ChoiceAnswer(Answer):
    """Which of several notes stands, and why."""

    id: str
    code: str
    field: str
    note_ids: list[str]
    pick: str
    by: str
    why: str
    at: str


class ChoiceKept(ChoiceAnswer):
    """A choice that is kept."""

    model_config = like(
        {
            "id": _RUN,
            "code": "A",
            "field": "plate_capacity",
            "note_ids": [_ID, _RUN],
            "pick": _ID,
            "by": "kim",
            "why": "read twice",
            "at": "2026-03-02T07:00:00.000+00:00",
            "repeated": False,
        }
    )

    repeated: bool


class NoteSettled(Answer):
    """What a lead made of a note."""

    note_id: str
    outcome: str = Field(description="accepted or refused")
    by: str
    why: str
    at: str


class NotesOfRun(Answer):
    """All notes of a run in the order they were written."""

    model_config = like({"notes": [KEPT], "contested": [], "choices": [], "settled": []})

    notes: list[NoteAnswer]
    contested: list[Contested]
    choices: list[ChoiceAnswer]
    settled: list[NoteSettled]


class ChoiceAsked(Asked):
    """All notes of a field that contradict each other, the one that stands, and why."""

    model_config = asked_like(
        {"id": _RUN, "note_ids": [_ID, _RUN], "pick": _ID, "by": "kim", "why": "read twice"}
    )

    id: Id
    note_ids: Ids
    pick: Id
    by: Words = "lead"
    why: Said


class PhotoKept(Answer):
    """A photo that cannot be lost any more."""

    model_config = like({"id": _RUN, "note_id": _ID, "known": False})

    id: str
    note_id: str
    known: bool = Field(description="it was there already")
