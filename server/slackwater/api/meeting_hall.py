"""What does a service need so that meetings can be held in it? The same in both kinds of it."""

from __future__ import annotations

from fastapi import FastAPI

from slackwater.api.meeting_answers import answer_meeting
from slackwater.api.meeting_errors import handle_meeting_errors
from slackwater.api.meeting_here import MeetingDoor
from slackwater.api.meeting_lead_answers import answer_meeting_lead
from slackwater.api.meeting_limits import MeetingLimits
from slackwater.api.meeting_pages import serve_meeting_pages
from slackwater.api.meeting_pulse import Newsroom
from slackwater.desk.meeting.rooms import Rooms


def hold_meetings(app: FastAPI, rooms: Rooms | None, door: MeetingDoor) -> None:
    """Add all that walls, phones and facilitators ask; None where no meeting can be opened."""
    app.state.rooms, app.state.meeting_door = rooms, door
    app.state.meeting_limits, app.state.newsroom = MeetingLimits(), Newsroom()
    handle_meeting_errors(app)
    answer_meeting(app)
    answer_meeting_lead(app)
    serve_meeting_pages(app)
