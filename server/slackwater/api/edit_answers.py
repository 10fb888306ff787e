"""The register at the web door: edits, their history, one row, pasted rows, a moved offtake."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Depends, FastAPI, Path, Query

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.least_role import least
from slackwater.api.looking import RegisterHere, WorkingHere
from slackwater.desk.editing import edit_of
from slackwater.desk.placing_again import place_again
from slackwater.desk.register_for import RegisterFor
from slackwater.people.roles import Least

MOST_LISTED = 200
Before = Annotated[int | None, Query(ge=1, description="only edits before this place")]
Limit = Annotated[int, Query(ge=1, le=MOST_LISTED)]
Named = Annotated[str, Query(max_length=500)]


def _register(working: RegisterHere, caller: Calls) -> RegisterFor:
    return RegisterFor(working, caller)


RegisterOf = Annotated[RegisterFor, Depends(_register)]
"""The register as far as it is the caller's to work on."""


def answer_edits(app: FastAPI) -> None:
    """Add the endpoints of the register (least role: scientist, for some tables alone)."""

    @app.post("/api/edits", response_model=answers.EditKept, **least(Least.SCIENTIST))
    def edit(register: RegisterOf, caller: Calls, asked: answers.EditAsked) -> Any:
        """Keep an edit: all of it or nothing; it is answered once it cannot be lost."""
        values = {**asked.model_dump(), "by": signed(caller, asked.by)}
        dry_run = values.pop("dry_run")
        return register.edit(edit_of(values), dry_run=dry_run)

    @app.post(
        "/api/edits/{edit_id}/undo", response_model=answers.EditKept, **least(Least.SCIENTIST)
    )
    def undo(
        register: RegisterOf, caller: Calls, edit_id: answers.Id, asked: answers.UndoAsked
    ) -> Any:
        """Take an edit back by a new one."""
        return register.undo(edit_id, asked.id, asked.why, signed(caller, asked.by))

    @app.get("/api/edits", response_model=answers.History, **least(Least.SCIENTIST))
    def history(
        register: RegisterOf,
        table: Named = "",
        key: Named = "",
        before: Before = None,
        limit: Limit = 50,
    ) -> Any:
        """Past edits, the newest first, of everything or of one row."""
        return register.history(table, key, before, limit)

    @app.get("/api/rows/{table}/{key:path}", response_model=answers.Row, **least(Least.SCIENTIST))
    def row(register: RegisterOf, table: str, key: Annotated[str, Path(max_length=500)]) -> Any:
        """One row as it can be edited."""
        return register.row(table, key)

    @app.post("/api/paste", response_model=answers.PastePreview, **least(Least.SCIENTIST))
    def paste(register: RegisterOf, asked: answers.PasteAsked) -> Any:
        """What pasted rows would change; nothing is written."""
        return register.paste(asked.table, asked.text)

    @app.post("/api/place", response_model=answers.PlaceFound, **least(Least.LEAD))
    def place(working: WorkingHere, asked: answers.PlaceAsked) -> Any:
        """Where an offtake would draw from if it stood there; nothing is written."""
        return place_again(working, asked.code, asked.lon, asked.lat)
