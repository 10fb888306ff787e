"""Field days at the web door: what a visit is worth, plans, runs that are kept, paper and GPX."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import FastAPI, Path
from fastapi.responses import HTMLResponse, Response

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.funding_answers import work_values
from slackwater.api.least_role import least
from slackwater.api.looking import Here, Looks, RegisterHere
from slackwater.desk.funding_desk import asked_of
from slackwater.desk.long_work import LongWorks, Work
from slackwater.desk.paper.run_sheet import print_run_sheet, run_gpx
from slackwater.desk.visibility import Viewer
from slackwater.desk.visits.asked import RunAsked, driving_of
from slackwater.desk.visits.runs_kept import drop_run, keep_run, one_run, reorder_run, run_heads
from slackwater.errors import NotAllowed, UsageError
from slackwater.people.roles import Least

KIND = "visits"
"""Kind of long work that a field officer may look at."""
GPX = "application/gpx+xml"
NOT_FOR_THE_PUBLIC = "Field days are for the agency."
RunId = Annotated[answers.Id, Path(description="the run's id")]


def answer_visits(app: FastAPI) -> None:
    """Add the endpoints of field days (least role: field, its own runs alone; lead: all)."""
    _answer_plans(app)
    _answer_runs(app)
    _answer_paper(app)


def _answer_plans(app: FastAPI) -> None:
    works: LongWorks = app.state.works

    def start(work: Work, viewer: Viewer) -> dict[str, Any]:
        if viewer is Viewer.PUBLIC:
            raise NotAllowed(NOT_FOR_THE_PUBLIC)
        return work_values(works.start(KIND, work))

    @app.get("/api/visits/depots", response_model=answers.Depots, **least(Least.FIELD))
    def depots(here: Here) -> Any:
        """Where days can start, and whether roads are known."""
        return here.visits.depots()

    @app.post(
        "/api/visits/candidates",
        response_model=answers.WorkAnswer,
        status_code=202,
        **least(Least.FIELD),
    )
    def candidates(here: Here, asked: answers.FundAsked, viewer: Looks) -> Any:
        """Say of every offtake what a visit is worth and what to measure there."""
        return start(here.visits.candidates(asked_of(**asked.model_dump())), viewer)

    @app.post(
        "/api/visits/plan", response_model=answers.WorkAnswer, status_code=202, **least(Least.FIELD)
    )
    def plan(here: Here, asked: answers.VisitAsked, viewer: Looks) -> Any:
        """Plan a run where a measurement could change the decision."""
        return start(here.visits.plan(_run_of(asked)), viewer)

    @app.post(
        "/api/visits/order",
        response_model=answers.WorkAnswer,
        status_code=202,
        **least(Least.FIELD),
    )
    def order(here: Here, asked: answers.OrderAsked, viewer: Looks) -> Any:
        """Say what an order made by hand takes and shows."""
        return start(here.visits.order(_run_of(asked), asked.order), viewer)


def _answer_runs(app: FastAPI) -> None:
    @app.get("/api/runs", response_model=answers.Runs, **least(Least.FIELD))
    def runs(working: RegisterHere, caller: Calls) -> Any:
        """The caller's runs, all for the lead; the latest first."""
        return {"runs": run_heads(working, caller)}

    @app.post("/api/runs", response_model=answers.RunKept, **least(Least.FIELD))
    def keep(working: RegisterHere, caller: Calls, asked: answers.RunAsked) -> Any:
        """Keep a run, once."""
        return keep_run(working, asked.model_dump(), caller, signed(caller, asked.by))

    @app.get("/api/runs/{run_id}", response_model=answers.RunKept, **least(Least.FIELD))
    def one(working: RegisterHere, caller: Calls, run_id: RunId) -> Any:
        """A run whole, with its plan."""
        return one_run(working, run_id, caller)

    @app.delete("/api/runs/{run_id}", status_code=204, **least(Least.FIELD))
    def drop(working: RegisterHere, caller: Calls, run_id: RunId) -> None:
        """Take a run off the list; one with notes stays."""
        drop_run(working, run_id, caller)

    @app.post("/api/runs/{run_id}/order", response_model=answers.RunKept, **least(Least.FIELD))
    def reorder(
        working: RegisterHere, caller: Calls, run_id: RunId, asked: answers.RunOrderAsked
    ) -> Any:
        """Put a run's days in another order."""
        given = asked.model_dump()
        return reorder_run(working, run_id, given["days"], given["plan"], caller)


def _answer_paper(app: FastAPI) -> None:
    @app.get("/print/run/{run_id}", include_in_schema=False, **least(Least.FIELD))
    def sheet(working: RegisterHere, caller: Calls, run_id: RunId) -> HTMLResponse:
        return HTMLResponse(print_run_sheet(working, run_id, caller))

    @app.get("/files/run/{run_id}.gpx", include_in_schema=False, **least(Least.FIELD))
    def gpx(working: RegisterHere, caller: Calls, run_id: RunId) -> Response:
        content, name = run_gpx(working, run_id, caller)
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return Response(content, media_type=GPX, headers=headers)


def _run_of(asked: answers.VisitAsked) -> RunAsked:
    """Read what was asked of the planner from plain values."""
    if (asked.lon is None) is not (asked.lat is None):
        raise UsageError("a place to start from has both lon and lat")
    start = None if asked.lon is None or asked.lat is None else (asked.lon, asked.lat)
    about = asked_of(**asked.model_dump(include=set(answers.FundAsked.model_fields)))
    return RunAsked(
        funding=about,
        minutes=tuple(day.minutes for day in asked.days),
        depot=asked.depot,
        start=start,
        service_minutes=asked.service_minutes,
        must=tuple(dict.fromkeys(asked.must)),
        never=tuple(dict.fromkeys(asked.never)),
        driving=driving_of(
            detour_factor=asked.detour_factor, speed_kmh=asked.speed_kmh, track_kmh=asked.track_kmh
        ),
    )
