"""Paper and files at the web door: pages that print well, and files to take away."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from fastapi import Depends, FastAPI, Query
from fastapi.responses import HTMLResponse, Response

from slackwater.api.calling import Calls
from slackwater.api.least_role import least
from slackwater.api.looking import Looks, RegisterHere
from slackwater.desk.case_access import require_case
from slackwater.desk.paper.documents import Documents, documents_of, paper_look
from slackwater.desk.visibility import Viewer
from slackwater.people.roles import Least

WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MAP = "text/html; charset=utf-8"


class Version(StrEnum):
    """For whom a document is meant."""

    PUBLIC = "public"
    PRIVATE = "private"

    @property
    def reader(self) -> Viewer:
        """Who will read it."""
        return Viewer.PUBLIC if self is Version.PUBLIC else Viewer.LEAD


For = Annotated[
    Version, Query(alias="version", description="public facts alone, or the agency's own version")
]


def _documents(working: RegisterHere, caller: Calls, case_id: str) -> Documents:
    require_case(working.register, case_id, caller)
    return documents_of(working, case_id)


Of = Annotated[Documents, Depends(_documents)]


def answer_paper(app: FastAPI) -> None:
    """Add paper and files (least role: lead, whoever they are meant for; viewer for one page).

    The map file carries its own script, so it is only ever given to be saved: nothing of it runs
    as a page of this service.
    """

    @app.get("/print/look.css", include_in_schema=False, **least(Least.ANYONE))
    def look() -> Response:
        return Response(paper_look(), media_type="text/css", headers={"Cache-Control": "no-cache"})

    @app.get("/print/fund/{case_id}", include_in_schema=False, **least(Least.VIEWER))
    def fund(documents: Of, looks: Looks) -> HTMLResponse:
        return HTMLResponse(documents.fund_page(looks))

    @app.get("/print/board/{case_id}", include_in_schema=False, **least(Least.LEAD))
    def board(documents: Of) -> HTMLResponse:
        return HTMLResponse(documents.board_brief())

    @app.get(
        "/print/landholder/{case_id}/{code:path}", include_in_schema=False, **least(Least.LEAD)
    )
    def landholder(documents: Of, code: str, version: For = Version.PRIVATE) -> HTMLResponse:
        return HTMLResponse(documents.landholder_brief(code, version.reader))

    @app.get("/files/{case_id}.xlsx", include_in_schema=False, **least(Least.LEAD))
    def workbook(documents: Of) -> Response:
        return _to_save(documents.workbook(), WORKBOOK, documents.file_name("xlsx"))

    @app.get("/files/{case_id}.html", include_in_schema=False, **least(Least.LEAD))
    def map_file(documents: Of, version: For = Version.PUBLIC) -> Response:
        name = documents.file_name("html")
        return _to_save(documents.map_file(version.reader), MAP, name)


def _to_save(content: bytes, media_type: str, name: str) -> Response:
    """Give a file that a browser saves and never shows."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=media_type, headers=headers)
