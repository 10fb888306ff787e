"""Offers at the web door: how each stands, its next step, and who comes in when one declines."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.funding_answers import work_values
from slackwater.api.least_role import least
from slackwater.api.looking import Here, InCase, WorkingHere, Works
from slackwater.desk.funding_desk import asked_of
from slackwater.desk.offers import add_step, all_offers, step_of
from slackwater.desk.offers_since import Since, offers_since
from slackwater.desk.reserve import Declining, reserve
from slackwater.people.roles import Least


def answer_offers(app: FastAPI) -> None:
    """Add the endpoints of the follow-up (least role: lead)."""

    @app.get("/api/offers", response_model=answers.Offers, **least(Least.LEAD))
    def offers(working: WorkingHere) -> Any:
        """Every offer with its steps, and what is committed and spent."""
        return all_offers(working)

    @app.post("/api/offers", response_model=answers.OfferKept, **least(Least.LEAD))
    def step(working: WorkingHere, caller: Calls, asked: answers.OfferStepAsked) -> Any:
        """Write a step of an offer down, and with it the offtake's status."""
        values = {**asked.model_dump(), "by": signed(caller, asked.by)}
        return add_step(working, step_of(values))

    @app.post(
        "/api/reserve", response_model=answers.WorkAnswer, status_code=202, **least(Least.LEAD)
    )
    def who_comes_in(
        working: WorkingHere,
        here: Here,
        works: Works,
        asked: answers.ReserveAsked,
        case: InCase = "",
    ) -> Any:
        """Say who comes in when one declines and the others stay; nothing is recorded."""
        since = Since()
        if case:
            since = offers_since(here.view.evaluation, working.register.raw())
        question = asked_of(**asked.model_dump(exclude={"code", "way"}))
        who = Declining(asked.code, by_score=asked.way == "score", since=since)
        return work_values(works.start("reserve", reserve(here, question, who)))
