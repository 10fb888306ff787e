"""How does a meeting's refusal leave by the web door? Those with a status or words of their own."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse

from slackwater.api.errors import answer_of, error_answer
from slackwater.desk.meeting.rooms import NoMeeting
from slackwater.errors import Busy, SlackwaterError
from slackwater.meeting.refusals import ChangedMeanwhile, MeetingFull, MeetingOver, PhoneGone

CONFLICT, GONE, UNAVAILABLE = 409, 410, 503
TOLD_OF_AGREED = ("what", "words", "left_open", "revision")


def answer_refusal(error: Exception) -> JSONResponse:
    """Give the answer that tells of a refusal."""
    told = str(error)
    if isinstance(error, NoMeeting):
        return error_answer(404, "no_meeting", told, minutes=error.minutes)
    if isinstance(error, MeetingOver):
        return error_answer(404, "no_meeting", told, minutes=True)
    if isinstance(error, PhoneGone):
        return error_answer(GONE, "dropped" if error.dropped else "join_again", told)
    if isinstance(error, ChangedMeanwhile):
        stands = {name: getattr(error.agreed, name) for name in TOLD_OF_AGREED}
        return error_answer(CONFLICT, "changed_meanwhile", told, agreed=stands)
    if isinstance(error, MeetingFull):
        return error_answer(UNAVAILABLE, "full", told)
    assert isinstance(error, SlackwaterError)
    answer = answer_of(error)
    wait_s: Any = getattr(error, "wait_s", 0)
    if isinstance(error, Busy) and wait_s:
        answer.headers["Retry-After"] = str(wait_s)
    return answer


def handle_meeting_errors(app: FastAPI) -> None:
    """Let what only meetings refuse leave in the one shape."""

    def told(_: Request, error: Exception) -> JSONResponse:
        return answer_refusal(error)

    for kind in (NoMeeting, MeetingOver, PhoneGone, ChangedMeanwhile, MeetingFull, Busy):
        app.add_exception_handler(kind, told)
