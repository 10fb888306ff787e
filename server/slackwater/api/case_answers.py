"""Cases at the web door: saved, listed, looked at, shared, compared."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI

from slackwater.api import answers
from slackwater.api.calling import Calls, signed
from slackwater.api.funding_answers import work_values
from slackwater.api.least_role import least
from slackwater.api.looking import Here, RegisterHere, WorkingHere, Works
from slackwater.desk.case_access import shared_heads
from slackwater.desk.cases import case_heads, case_of, compare_cases, make_case, share_case
from slackwater.people.roles import Least


def answer_cases(app: FastAPI) -> None:
    """Add the endpoints of cases (least role: lead, but viewer for a list of the shared ones)."""

    @app.get(
        "/api/cases",
        response_model=answers.Cases | answers.SharedCases,
        **least(Least.VIEWER),
    )
    def cases(working: RegisterHere, caller: Calls) -> Any:
        """Every case without its rows, the newest first; those that are shared, but for a lead."""
        if caller.may(Least.LEAD):
            return case_heads(working.register)
        return shared_heads(working.register)

    @app.post("/api/cases", response_model=answers.WorkAnswer, status_code=202, **least(Least.LEAD))
    def save(
        working: WorkingHere, here: Here, works: Works, caller: Calls, asked: answers.CaseAsked
    ) -> Any:
        """Work a trial out on the data looked at and keep it; the answer is the case."""
        values = {**asked.model_dump(), "by": signed(caller, asked.by)}
        work = make_case(working.register, here, case_of(values))
        return work_values(works.start("case", work))

    @app.get("/api/cases/{case_id}", response_model=answers.Case, **least(Least.LEAD))
    def case(working: WorkingHere, case_id: answers.Id) -> Any:
        """One case as it was saved."""
        return working.case(case_id)

    @app.post("/api/cases/{case_id}/share", response_model=answers.Case, **least(Least.LEAD))
    def share(working: WorkingHere, case_id: answers.Id) -> Any:
        """Mark a case as shared, for good."""
        return share_case(working.register, case_id)

    @app.delete("/api/cases/{case_id}", status_code=204, **least(Least.LEAD))
    def delete(working: WorkingHere, case_id: answers.Id) -> None:
        """Take away a case that was not shared."""
        working.register.delete_case(case_id)

    @app.get("/api/compare", response_model=answers.Compared, **least(Least.LEAD))
    def compare(working: WorkingHere, one: answers.Id, other: answers.Id) -> Any:
        """Who is inside one of two cases alone, and why."""
        return compare_cases(working.register, one, other)
