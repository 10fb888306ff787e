"""What is asked and answered about notes that would change the register?"""

from __future__ import annotations

import sys
from typing import Annotated, Any

from pydantic import AfterValidator, Field

from slackwater.api.answers.asked import Asked, Id, Said, Value, Words, asked_like
from slackwater.api.answers.notes import KEPT, MOST_NOTES, Contested, Ids, NoteAnswer
from slackwater.api.answers.shape import Answer, like

_ID, _RUN = KEPT["id"], KEPT["run_id"]


def _cell(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int | float | None):
        raise ValueError("a cell holds a number or a text")
    if isinstance(value, int) and abs(value) > sys.float_info.max:
        raise ValueError("that is too large a number")
    return value


Cell = Annotated[Value, AfterValidator(_cell)]


class ProposalAnswer(Answer):
    """A note that would change the register."""

    note: NoteAnswer
    label: str
    run_name: str
    column: str
    register_: Any = Field(alias="register", description="what stands there, as given")
    register_at: str = Field(description="when it was written, empty where it came with the data")
    register_by: str
    proposed: float | str | None = Field(description="null where a lead has to give it")
    words: str = Field(description="what to know before it is accepted")
    ticked: bool = Field(description="nothing speaks against taking it over as it is")
    beside: list[NoteAnswer]
    photos: list[str] = Field(description="ids of photos of this site in this run")


class SaidAnswer(Answer):
    """What was said of a site and has no column in the register."""

    note: NoteAnswer
    label: str
    run_name: str


class SitePhotos(Answer):
    """Photos of a site in a run of which nothing is proposed."""

    code: str
    run_name: str
    by: str
    at: str = Field(description="when the last of them came")
    photos: list[str] = Field(description="ids")


class Proposals(Answer):
    """What the notes propose, which wait for a choice, and what else was said."""

    model_config = like(
        {
            "proposals": [
                {
                    "note": KEPT,
                    "label": "Most it can draw, by its plate",
                    "run_name": "Lower river",
                    "column": "capacity_m3s",
                    "register": 0.2,
                    "register_at": "",
                    "register_by": "",
                    "proposed": 0.25,
                    "words": "",
                    "ticked": True,
                    "beside": [],
                    "photos": [],
                }
            ],
            "contested": [],
            "said": [
                {
                    "note": {
                        **KEPT,
                        "id": _RUN,
                        "field": "no_entry",
                        "typed": "gate locked",
                        "unit": "",
                        "value": "gate locked",
                    },
                    "label": "Could not get in",
                    "run_name": "Lower river",
                }
            ],
            "photos": [],
        }
    )

    proposals: list[ProposalAnswer]
    contested: list[Contested]
    said: list[SaidAnswer] = Field(description="by code; no way in, hazards, remarks, depth today")
    photos: list[SitePhotos] = Field(description="by code; of sites with no proposal in that run")


class PickAsked(Asked):
    """A note to be taken over, and what is to stand where it is not what it says."""

    note_id: Id
    value: Cell = None
    seen: Cell = Field(None, description="what stood in the register; left out: not checked")


class AcceptNotesAsked(Asked):
    """Notes to be taken over by one edit."""

    model_config = asked_like(
        {"id": _RUN, "picks": [{"note_id": _ID, "seen": 0.2}], "why": "", "by": "lead"}
    )

    id: Id
    picks: list[PickAsked] = Field(min_length=1, max_length=MOST_NOTES)
    why: Words = ""
    by: Words = "lead"


class RefuseNotesAsked(Asked):
    """Notes that are not taken over."""

    model_config = asked_like(
        {"id": _RUN, "note_ids": [_ID], "why": "another pump's plate", "by": "lead"}
    )

    id: Id
    note_ids: Ids
    why: Said
    by: Words = "lead"


class NotesRefused(Answer):
    """Notes that stay, and are proposed no more."""

    model_config = like({"id": _RUN, "refused": [_ID], "repeated": False})

    id: str
    refused: list[str]
    repeated: bool
