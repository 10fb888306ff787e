"""Where are the pages of a meeting? Files without data, and its minutes for everyone."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import FileResponse, HTMLResponse, Response

from slackwater.api.least_role import least
from slackwater.api.meeting_here import RoomsHere
from slackwater.api.meeting_limits import MeetingLimits
from slackwater.api.page import NO_CACHE, PAGE_FOLDER, built_file
from slackwater.api.plain_page import KEPT_BY_NOBODY, plain_page
from slackwater.api.rate_limits import address_of
from slackwater.desk.meeting.minutes_printed import (
    can_print,
    minutes_file,
    minutes_name,
    minutes_page,
)
from slackwater.desk.meeting.rooms import NoMeeting, Rooms
from slackwater.desk.paper.documents import paper_look
from slackwater.people.roles import Least

NOT_BUILT = "The page of meetings has not been built; scripts/setup builds it."
LOOK = "/meet/look.css"
NO_MINUTES = "there are no minutes here: no meeting of this code has ended in the last 30 days"


def serve_meeting_pages(app: FastAPI, folder: Path = PAGE_FOLDER) -> None:
    """Hand out the pages, which hold no data (least role: a meeting's code)."""

    def page(name: str) -> FileResponse:
        return built_file(folder / "meet" / f"{name}.html", "text/html", not_built=NOT_BUILT)

    @app.get("/meet", include_in_schema=False, **least(Least.MEETING))
    def join() -> FileResponse:
        return page("join")

    @app.get(LOOK, include_in_schema=False, **least(Least.MEETING))
    def look() -> Response:
        return Response(paper_look(), media_type="text/css", headers=NO_CACHE)

    @app.get("/meet/{meeting_code}", include_in_schema=False, **least(Least.MEETING))
    def phone() -> FileResponse:
        return page("phone")

    @app.get("/meet/{meeting_code}/wall", include_in_schema=False, **least(Least.MEETING))
    def wall() -> FileResponse:
        return page("wall")

    @app.get("/meet/{meeting_code}/lead", include_in_schema=False, **least(Least.MEETING))
    def lead() -> FileResponse:
        return page("lead")

    _serve_minutes(app)


def _serve_minutes(app: FastAPI) -> None:
    """Hand out what was kept of a meeting that has ended."""

    @app.get("/meet/{meeting_code}/minutes", include_in_schema=False, **least(Least.MEETING))
    def minutes(request: Request, rooms: RoomsHere, meeting_code: str) -> HTMLResponse:
        try:
            kept = _found(request, rooms, meeting_code)
        except NoMeeting:
            answer = plain_page("No minutes", NO_MINUTES, 404, look=LOOK)
            answer.headers.update(KEPT_BY_NOBODY)
            return answer
        pdf = f"/meet/{kept['code']}/minutes.pdf" if can_print() else ""
        return HTMLResponse(minutes_page(kept, LOOK, pdf), headers=KEPT_BY_NOBODY)

    @app.get("/meet/{meeting_code}/minutes.pdf", include_in_schema=False, **least(Least.MEETING))
    def minutes_pdf(request: Request, rooms: RoomsHere, meeting_code: str) -> Response:
        kept = _found(request, rooms, meeting_code)
        said = {
            "Content-Disposition": f'attachment; filename="{minutes_name(kept, "pdf")}"',
            **KEPT_BY_NOBODY,
        }
        return Response(minutes_file(kept), media_type="application/pdf", headers=said)


def _found(request: Request, rooms: Rooms, code: str) -> dict[str, object]:
    """Give the minutes of a code; whoever guesses codes is told nothing more for a while."""
    limits: MeetingLimits = request.app.state.meeting_limits
    address = address_of(request.scope)
    limits.require_no_guesser(address)
    try:
        return dict(rooms.minutes(code))
    except NoMeeting as none:
        if not none.ended:
            limits.count_wrong_code(address)
        raise
