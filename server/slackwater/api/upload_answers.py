"""Files that are sent to be taken in: received to the disk, looked at, accepted or forgotten."""

from __future__ import annotations

import os
from typing import Annotated, Any

from fastapi import FastAPI, Query, Request, Response
from starlette.concurrency import run_in_threadpool

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.funding_answers import work_values
from slackwater.api.least_role import least
from slackwater.api.looking import WorkingHere, Works
from slackwater.desk.uploads import MOST_BYTES, Uploads
from slackwater.errors import UsageError
from slackwater.people.roles import Least

LIMIT_VARIABLE = "SLACKWATER_UPLOAD_LIMIT_MB"


def answer_uploads(app: FastAPI) -> None:
    """Add the endpoints of uploads (least role: lead)."""
    uploads = Uploads(upload_limit_bytes())
    app.state.uploads = uploads

    @app.post(
        "/api/uploads",
        response_model=answers.WorkAnswer,
        status_code=202,
        **least(Least.LEAD, requestBody={"content": {"application/octet-stream": {}}}),
    )
    async def send(
        request: Request,
        working: WorkingHere,
        works: Works,
        name: Annotated[str, Query(description="the file's own name: .gpkg, .xlsx or .zip")],
    ) -> Any:
        """Receive a file and look at it; nothing is changed."""
        said = request.headers.get("content-length", "0")
        said_bytes = int(said) if said.isdecimal() else 0
        with await run_in_threadpool(uploads.receive, name, said_bytes) as receiving:
            async for block in request.stream():
                await run_in_threadpool(receiving.write, block)
            upload = receiving.finish()
        try:
            return work_values(works.start("upload", uploads.look(working, upload)))
        except BaseException:
            uploads.forget(upload.id)
            raise

    @app.post(
        "/api/uploads/{upload_id}/accept", response_model=answers.EditKept, **least(Least.LEAD)
    )
    def accept(
        working: WorkingHere, caller: Calls, upload_id: answers.Id, asked: answers.AcceptAsked
    ) -> Any:
        """Take a file in, in place of all that stands: all of it or nothing."""
        by = signed(caller, asked.by)
        return uploads.accept(working, upload_id, asked.id, asked.why, by)

    @app.delete("/api/uploads/{upload_id}", status_code=204, **least(Least.LEAD))
    def forget(_: WorkingHere, upload_id: answers.Id) -> Response:
        """Take a file away that is not to be taken in."""
        uploads.forget(upload_id)
        return Response(status_code=204)


def upload_limit_bytes() -> int:
    """Give the size limit the environment sets, else the default.

    Raises
    ------
    UsageError
        Where the variable is not a number above 0.
    """
    text = os.environ.get(LIMIT_VARIABLE, "").strip()
    if not text:
        return MOST_BYTES
    try:
        limit_mb = float(text)
    except ValueError:
        limit_mb = 0.0
    if not 0 < limit_mb < float("inf"):
        raise UsageError(f"{LIMIT_VARIABLE} must be a number of megabytes above 0, not {text!r}")
    return int(limit_mb * 1_000_000)
