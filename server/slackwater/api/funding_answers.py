"""What is asked about a budget: work that takes a while is started, looked at and stopped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import FastAPI, Query
from starlette.exceptions import HTTPException

from slackwater.api import answers
from slackwater.api.errors import UNFORESEEN, code_of
from slackwater.api.least_role import least
from slackwater.api.looking import Here, Looks
from slackwater.desk.funding_desk import Asked, asked_of
from slackwater.desk.long_work import LongWork, LongWorks, State, Work
from slackwater.desk.visibility import Viewer
from slackwater.errors import NoSetPossible
from slackwater.people.roles import Least

LONGEST_WAIT_S = 10.0
FOR_THE_FIELD = frozenset({"visits"})
"""Kinds of work that a field officer may look at and stop."""
FOR_THE_LEAD = "Sets are found from quotes and landholders' answers, which are for the lead alone."
NO_SUCH_WORK = "There is no such work here, or it ended long ago."


def answer_funding(app: FastAPI) -> None:
    """Add the endpoints of the best set, the curve and how sure they are (least role: lead)."""
    works: LongWorks = app.state.works

    def start(
        kind: str, ask: Callable[[Asked], Work], asked: answers.FundAsked, viewer: Viewer
    ) -> dict[str, Any]:
        for_the_lead(viewer)
        return work_values(works.start(kind, ask(asked_of(**asked.model_dump()))))

    @app.post(
        "/api/best-set", response_model=answers.WorkAnswer, status_code=202, **least(Least.LEAD)
    )
    def best_set(here: Here, asked: answers.FundAsked, viewer: Looks) -> Any:
        """Find the best set for a budget, with its bound."""
        return start("best-set", here.funding.best_set, asked, viewer)

    @app.post("/api/curve", response_model=answers.WorkAnswer, status_code=202, **least(Least.LEAD))
    def curve(here: Here, asked: answers.FundAsked, viewer: Looks) -> Any:
        """Give benefit against budget, and what other orders would buy."""
        return start("curve", here.funding.curve, asked, viewer)

    @app.post(
        "/api/how-sure", response_model=answers.WorkAnswer, status_code=202, **least(Least.LEAD)
    )
    def how_sure(here: Here, asked: answers.FundAsked, viewer: Looks) -> Any:
        """Say what the best set depends on: trials, weightings, measurements."""
        return start("how-sure", here.funding.how_sure, asked, viewer)

    @app.post("/api/entry", response_model=answers.WorkAnswer, status_code=202, **least(Least.LEAD))
    def entry(here: Here, asked: answers.SiteAsked, viewer: Looks) -> Any:
        """Say what would bring one offtake into the best set, or out of it."""
        about = answers.FundAsked(**asked.model_dump(exclude={"code"}))
        return start("entry", lambda rest: here.funding.entry(rest, asked.code), about, viewer)

    @app.get("/api/work/{work_id}", response_model=answers.WorkAnswer, **least(Least.FIELD))
    def look(
        work_id: str,
        viewer: Looks,
        wait_s: Annotated[float, Query(ge=0, le=LONGEST_WAIT_S)] = 0.0,
    ) -> Any:
        """Say how work stands, after waiting a while for news."""
        work = find(work_id, viewer)
        work.wait(wait_s)
        return work_values(work)

    @app.delete("/api/work/{work_id}", response_model=answers.WorkAnswer, **least(Least.FIELD))
    def stop(work_id: str, viewer: Looks) -> Any:
        """Tell work to stop; it does within 2 s."""
        work = find(work_id, viewer)
        work.stop()
        return work_values(work)

    def find(work_id: str, viewer: Viewer) -> LongWork:
        work = works.find(work_id)
        if viewer is Viewer.PUBLIC or work is None or work.kind not in FOR_THE_FIELD:
            for_the_lead(viewer)
        if work is None:
            raise HTTPException(404, NO_SUCH_WORK)
        return work


def for_the_lead(viewer: Viewer) -> None:
    """Refuse whoever may not see what sets are found from."""
    if viewer is not Viewer.LEAD:
        raise HTTPException(403, FOR_THE_LEAD)


def work_values(work: LongWork) -> dict[str, Any]:
    """Give how work stands."""
    done, total = work.done_of_total
    return {
        "id": work.id,
        "kind": work.kind,
        "state": work.state.value,
        "done": done,
        "total": total,
        "answer": work.answer,
        "error": _failure_values(work),
    }


def _failure_values(work: LongWork) -> dict[str, Any] | None:
    failure = work.failure
    if work.state is not State.FAILED:
        return None
    if failure is None:
        return {"code": "internal", "message": UNFORESEEN}
    clash = list(failure.clash) if isinstance(failure, NoSetPossible) else None
    return {"code": code_of(failure), "message": str(failure), "clash": clash}
