"""What does a meeting's facilitator do? Steps, holding, trial, what was agreed; with the key alone.

Where the service is open to a network they are heard on its own machine only.
"""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI

from slackwater.api import answers
from slackwater.api.least_role import least
from slackwater.api.meeting_here import LedHere
from slackwater.people.roles import Least

LEAD = "/api/meet/{meeting_code}/lead"


def answer_meeting_lead(app: FastAPI) -> None:
    """Add what the facilitator asks (least role: a meeting's key)."""

    @app.get(LEAD, response_model=answers.LeadAnswer, **least(Least.FACILITATOR))
    def lead(live: LedHere) -> Any:
        """What stands at this moment, and what the wall shows of it."""
        return live.lead()

    @app.put(f"{LEAD}/step", response_model=answers.LeadAnswer, **least(Least.FACILITATOR))
    def step(live: LedHere, asked: answers.StepAsked) -> Any:
        """Go to a prepared view."""
        return live.leads(lambda room: room.step(asked.step))

    @app.put(f"{LEAD}/hold", response_model=answers.LeadAnswer, **least(Least.FACILITATOR))
    def hold(live: LedHere, asked: answers.HoldAsked) -> Any:
        """Have the wall stand still, or go on."""
        return live.leads(lambda room: room.hold(asked.held))

    @app.put(f"{LEAD}/door", response_model=answers.LeadAnswer, **least(Least.FACILITATOR))
    def door(live: LedHere, asked: answers.DoorAsked) -> Any:
        """Let further phones join, or none."""
        return live.leads(lambda room: room.door(asked.open))

    @app.put(f"{LEAD}/trial", response_model=answers.LeadAnswer, **least(Least.FACILITATOR))
    def trial(live: LedHere, asked: answers.TrialShownAsked) -> Any:
        """Set the room's middle beside the case, or take it away."""
        return live.leads(lambda room: room.show_trial(asked.shown))

    @app.put(f"{LEAD}/agreed", response_model=answers.LeadAnswer, **least(Least.FACILITATOR))
    def agreed(live: LedHere, asked: answers.AgreedAsked) -> Any:
        """Write down what was agreed and left open; 409 where somebody else did meanwhile."""
        return live.leads(
            lambda room: room.agree(asked.what, asked.words, asked.left_open, asked.seen)
        )

    @app.post(f"{LEAD}/close", response_model=answers.MeetingClosed, **least(Least.FACILITATOR))
    def close(live: LedHere) -> Any:
        """End the meeting: keep what was agreed as a case, and the minutes for everyone."""
        done = live.close()
        minutes = f"/meet/{live.code}/minutes" if done["minutes"] else ""
        return {"minutes": minutes, "case_id": done["case_id"]}
