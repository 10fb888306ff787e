"""Field work at the web door: what a phone takes along and sends, and what a lead makes of it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import FastAPI, Path, Query, Request, Response
from starlette.concurrency import run_in_threadpool

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.least_role import least
from slackwater.api.looking import RegisterHere, WorkingHere
from slackwater.desk.field.accepting import Pick, accept, refuse
from slackwater.desk.field.choosing import choose
from slackwater.desk.field.notes_told import notes_of_run
from slackwater.desk.field.pack import pack_of
from slackwater.desk.field.photos_kept import MOST_BYTES, TOO_LARGE, keep_photo, photo_content
from slackwater.desk.field.proposals import all_proposals
from slackwater.desk.field.taking_notes import take_notes
from slackwater.errors import TooLarge, UsageError
from slackwater.people.roles import Least

JPEG = "image/jpeg"
IN_BODY = {"content": {JPEG: {"schema": {"type": "string", "format": "binary"}}}}
OUT: dict[int | str, dict[str, Any]] = {200: {"content": {JPEG: {}}, "description": "the picture"}}
RunId = Annotated[answers.Id, Path(description="the run's id")]


def answer_field(app: FastAPI) -> None:
    """Add the endpoints of field work (least role: field, its own runs alone; lead: all)."""
    _answer_phone(app)
    _answer_photos(app)
    _answer_proposals(app)


def _answer_phone(app: FastAPI) -> None:
    @app.get("/api/runs/{run_id}/pack", response_model=answers.Pack, **least(Least.FIELD))
    def pack(working: RegisterHere, caller: Calls, run_id: RunId) -> Any:
        """All that a phone needs for a run."""
        return pack_of(working, run_id, caller)

    @app.post("/api/notes", response_model=answers.NotesKept, **least(Least.FIELD))
    def send(working: RegisterHere, caller: Calls, asked: answers.NotesAsked) -> Any:
        """Keep notes, each once; answered once they cannot be lost."""
        return take_notes(working, asked.notes, caller)

    @app.get("/api/notes", response_model=answers.NotesOfRun, **least(Least.FIELD))
    def notes(
        working: RegisterHere,
        caller: Calls,
        run: Annotated[answers.Id, Query(description="the run's id")],
    ) -> Any:
        """All notes of a run, in the order they were written."""
        return notes_of_run(working, run, caller)

    @app.post("/api/notes/choose", response_model=answers.ChoiceKept, **least(Least.FIELD))
    def pick(working: RegisterHere, caller: Calls, asked: answers.ChoiceAsked) -> Any:
        """Choose between notes that contradict each other; all of them stay."""
        return choose(working, {**asked.model_dump(), "by": signed(caller, asked.by)}, caller)


def _answer_photos(app: FastAPI) -> None:
    @app.put(
        "/api/photos/{photo_id}",
        response_model=answers.PhotoKept,
        **least(Least.FIELD, requestBody={"required": True, **IN_BODY}),
    )
    async def put(
        request: Request,
        working: RegisterHere,
        caller: Calls,
        photo_id: answers.Id,
        note: Annotated[answers.Id, Query(description="id of the note it belongs to")],
        place: Annotated[
            Literal["", "kept"], Query(description='"kept": it may say where it was taken')
        ] = "",
        by: Annotated[str, Query(max_length=100)] = "",
    ) -> Any:
        """Keep a photo of a note, once; of what it says of itself only which way is up."""
        sent = await _photo_in(request)
        said = signed(caller, by)
        return await run_in_threadpool(
            keep_photo, working, photo_id, note, sent, caller, said, place
        )

    @app.get("/api/photos/{photo_id}", response_class=Response, responses=OUT, **least(Least.FIELD))
    def give(working: RegisterHere, caller: Calls, photo_id: answers.Id) -> Response:
        """A photo of a run."""
        return Response(photo_content(working, photo_id, caller), media_type=JPEG)


def _answer_proposals(app: FastAPI) -> None:
    @app.get("/api/proposals", response_model=answers.Proposals, **least(Least.LEAD))
    def proposals(working: WorkingHere) -> Any:
        """What the notes propose, and which of them wait for a choice."""
        return all_proposals(working)

    @app.post("/api/proposals/accept", response_model=answers.EditKept, **least(Least.LEAD))
    def take_over(working: WorkingHere, caller: Calls, asked: answers.AcceptNotesAsked) -> Any:
        """Take notes over by one edit."""
        picks = [
            Pick(each.note_id, each.value, each.seen, "seen" in each.model_fields_set)
            for each in asked.picks
        ]
        return accept(working, asked.id, picks, asked.why, signed(caller, asked.by))

    @app.post("/api/proposals/refuse", response_model=answers.NotesRefused, **least(Least.LEAD))
    def leave(working: WorkingHere, caller: Calls, asked: answers.RefuseNotesAsked) -> Any:
        """Write down that notes are not taken over; they stay."""
        return refuse(working, asked.id, asked.note_ids, asked.why, signed(caller, asked.by))


async def _photo_in(request: Request) -> bytes:
    """Receive a photo, no more of it than may be kept.

    Raises
    ------
    TooLarge
        Where it is larger.
    UsageError
        Where it does not come as a JPEG.
    """
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != JPEG:
        raise UsageError("a photo is sent as image/jpeg")
    blocks, size = [], 0
    async for block in request.stream():
        size += len(block)
        if size > MOST_BYTES:
            raise TooLarge(TOO_LARGE)
        blocks.append(block)
    return b"".join(blocks)
