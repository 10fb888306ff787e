"""Meetings as the lead opens, lists and ends them, in the agency's own service."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Depends, FastAPI, Request

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.least_role import least
from slackwater.api.looking import WorkingHere
from slackwater.api.meeting_here import DoorHere
from slackwater.desk.meeting.rooms import Rooms
from slackwater.people.roles import Least


def _rooms(request: Request, _: WorkingHere) -> Rooms:
    rooms: Rooms = request.app.state.rooms
    return rooms


RoomsOfLead = Annotated[Rooms, Depends(_rooms)]
"""The meetings of the database; 404 where a file is served."""


def answer_meetings(app: FastAPI) -> None:
    """Add the endpoints of meetings as a whole (least role: lead)."""

    @app.post(
        "/api/meetings",
        response_model=answers.MeetingMade,
        status_code=201,
        **least(Least.LEAD),
    )
    def opened(
        rooms: RoomsOfLead, door: DoorHere, caller: Calls, asked: answers.MeetingAsked
    ) -> Any:
        """Open a meeting on a shared case; its key is told in this answer and never again."""
        made = rooms.open(asked.case_id, asked.hours, signed(caller, "lead"))
        return {
            "code": made.code,
            "key": made.key,
            "ends_at": made.ends_at,
            "wall": f"/meet/{made.code}/wall",
            "lead": f"/meet/{made.code}/lead",
            "join": door.join(made.code),
        }

    @app.get("/api/meetings", response_model=answers.Meetings, **least(Least.LEAD))
    def listed(rooms: RoomsOfLead) -> Any:
        """The newest meetings, those that are over too."""
        return rooms.listed()

    @app.delete("/api/meetings/{meeting_code}", status_code=204, **least(Least.LEAD))
    def end(rooms: RoomsOfLead, meeting_code: str) -> None:
        """End a meeting; its minutes are made."""
        rooms.end(meeting_code)
