"""The register at the web door: edits, their history, one row, pasted rows, a moved offtake."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import FastAPI, Path, Query

from slackwater.api import answers
from slackwater.api.looking import WorkingHere
from slackwater.desk.editing import edit_of, history_of, make_edit, undo_edit
from slackwater.desk.pasting import paste_preview
from slackwater.desk.placing_again import place_again
from slackwater.desk.row_shown import row_values

MOST_LISTED = 200
Before = Annotated[int | None, Query(ge=1, description="only edits before this place")]
Limit = Annotated[int, Query(ge=1, le=MOST_LISTED)]
Named = Annotated[str, Query(max_length=500)]


def answer_edits(app: FastAPI) -> None:
    """Add the endpoints of the register (least role: lead)."""

    @app.post("/api/edits", response_model=answers.EditKept)
    def edit(working: WorkingHere, asked: answers.EditAsked) -> Any:
        """Keep an edit: all of it or nothing; it is answered once it cannot be lost."""
        values = asked.model_dump()
        dry_run = values.pop("dry_run")
        return make_edit(working, edit_of(values), dry_run=dry_run)

    @app.post("/api/edits/{edit_id}/undo", response_model=answers.EditKept)
    def undo(working: WorkingHere, edit_id: answers.Id, asked: answers.UndoAsked) -> Any:
        """Take an edit back by a new one."""
        return undo_edit(working, edit_id, asked.id, asked.why, asked.by)

    @app.get("/api/edits", response_model=answers.History)
    def history(
        working: WorkingHere,
        table: Named = "",
        key: Named = "",
        before: Before = None,
        limit: Limit = 50,
    ) -> Any:
        """Past edits, the newest first, of everything or of one row."""
        return history_of(working, table, key, before, limit)

    @app.get("/api/rows/{table}/{key:path}", response_model=answers.Row)
    def row(working: WorkingHere, table: str, key: Annotated[str, Path(max_length=500)]) -> Any:
        """One row as it can be edited."""
        return row_values(working, table, key)

    @app.post("/api/paste", response_model=answers.PastePreview)
    def paste(working: WorkingHere, asked: answers.PasteAsked) -> Any:
        """What pasted rows would change; nothing is written."""
        return paste_preview(working, asked.table, asked.text)

    @app.post("/api/place", response_model=answers.PlaceFound)
    def place(working: WorkingHere, asked: answers.PlaceAsked) -> Any:
        """Where an offtake would draw from if it stood there; nothing is written."""
        return place_again(working, asked.code, asked.lon, asked.lat)
