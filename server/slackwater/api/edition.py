"""Is there a newer edition than the one a page shows? Asked with patience, answered at once."""

from __future__ import annotations

import asyncio
import time
from typing import Annotated, Any

from fastapi import FastAPI, Query, Request

from slackwater.api import answers
from slackwater.api.calling import Calls
from slackwater.api.least_role import least
from slackwater.api.looking import RegisterHere
from slackwater.people.roles import Least

LONGEST_WAIT_S = 10.0
LOOK_EVERY_S = 0.05
FAILED = "The newest data could not be worked out; a lead can see why."


def answer_edition(app: FastAPI) -> None:
    """Add the endpoint that tells of editions (least role: scientist)."""

    @app.get("/api/edition", response_model=answers.Edition, **least(Least.SCIENTIST))
    async def edition(
        request: Request,
        working: RegisterHere,
        caller: Calls,
        since: Annotated[str, Query(max_length=200, description="the edition a page shows")] = "",
        wait_s: Annotated[float, Query(ge=0, le=LONGEST_WAIT_S)] = 0.0,
    ) -> Any:
        """Say which edition is shown, after waiting a while for another or for word of one.

        Waiting holds no thread: many pages wait at once.
        """
        first = told = working.news()
        end, leaving = time.monotonic() + wait_s, request.app.state.leaving
        while told == first and told["edition"] == since and time.monotonic() < end:
            if leaving():
                break
            await asyncio.sleep(LOOK_EVERY_S)
            told = working.news()
        if told["failure"] and not caller.may(Least.LEAD):
            return {**told, "failure": FAILED}  # its words may name what is a lead's alone
        return told
