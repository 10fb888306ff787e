"""What is left of a meeting? The case that was agreed, like any other, and minutes for everyone."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from slackwater.desk.cases import CaseAsked, make_case
from slackwater.desk.meeting.minutes import minutes_facts
from slackwater.desk.meeting.now import lead_values, room_values
from slackwater.desk.meeting.shown import MeetingShown
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.documents import documents_of
from slackwater.desk.trial import Trial, Way
from slackwater.desk.working import Working
from slackwater.meeting.codes import spaced_code
from slackwater.meeting.room import Room
from slackwater.meeting.weightings import Weights
from slackwater.progress import Progress
from slackwater.store.meetings import Meeting


def keep_agreed(working: Working, meeting: Meeting, room: Room, shown: MeetingShown) -> str:
    """Give the id of the case that was agreed, "" for none; a trial is kept as one, once."""
    agreed = room.led.agreed
    if agreed.what == "trial" and agreed.weights is not None:
        return _kept_trial(working, meeting, shown, agreed.weights)
    return meeting.case_id if agreed.what == "case" else ""


def minutes_left(
    working: Working,
    meeting: Meeting,
    room: Room,
    shown: MeetingShown,
    agreed_case_id: str,
    ended_at: datetime,
) -> dict[str, Any]:
    """Give the minutes as plain values; what only phones and facilitator know is not in them."""
    kept = agreed_case_id if agreed_case_id != meeting.case_id else ""
    return minutes_facts(
        _case_shown(working, meeting.case_id),
        shown.values,
        lead_values(room.lead(), shown),
        room=room_values(room.now(), shown, most_turns=None),
        agreed_case=_case_shown(working, kept) if kept else None,
        ended_at=ended_at,
    )


def _kept_trial(working: Working, meeting: Meeting, shown: MeetingShown, weights: Weights) -> str:
    """Keep a trial as a case by score; its id follows from the meeting, so that none is twice."""
    of = working.case(meeting.case_id)
    asked = CaseAsked(
        id=str(uuid5(NAMESPACE_URL, f"slackwater:meeting:{meeting.id}")),
        name=f"Agreed at meeting {spaced_code(meeting.code)}",
        trial=Trial(
            weights=shown.named(weights),
            budget=of["trial"]["budget"],
            way=Way.SCORE,
        ),
        by=meeting.by or "lead",
        copied_from=meeting.case_id,
    )
    work = make_case(working.register, working.of(meeting.case_id), asked)
    return str(work(Progress(), lambda _: None)["id"])


def _case_shown(working: Working, case_id: str) -> CaseShown:
    return documents_of(working, case_id).case
