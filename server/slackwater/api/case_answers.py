"""Cases at the web door: saved, listed, looked at, shared, compared."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI

from slackwater.api import answers
from slackwater.api.funding_answers import work_values
from slackwater.api.looking import Here, WorkingHere, Works
from slackwater.desk.cases import case_heads, case_of, compare_cases, make_case, share_case


def answer_cases(app: FastAPI) -> None:
    """Add the endpoints of cases (least role: lead)."""

    @app.get("/api/cases", response_model=answers.Cases)
    def cases(working: WorkingHere) -> Any:
        """Every case without its rows, the newest first."""
        return case_heads(working.register)

    @app.post("/api/cases", response_model=answers.WorkAnswer, status_code=202)
    def save(working: WorkingHere, here: Here, works: Works, asked: answers.CaseAsked) -> Any:
        """Work a trial out on the data looked at and keep it; the answer is the case."""
        work = make_case(working.register, here, case_of(asked.model_dump()))
        return work_values(works.start("case", work))

    @app.get("/api/cases/{case_id}", response_model=answers.Case)
    def case(working: WorkingHere, case_id: answers.Id) -> Any:
        """One case as it was saved."""
        return working.case(case_id)

    @app.post("/api/cases/{case_id}/share", response_model=answers.Case)
    def share(working: WorkingHere, case_id: answers.Id) -> Any:
        """Mark a case as shared, for good."""
        return share_case(working.register, case_id)

    @app.delete("/api/cases/{case_id}", status_code=204)
    def delete(working: WorkingHere, case_id: answers.Id) -> None:
        """Take away a case that was not shared."""
        working.register.delete_case(case_id)

    @app.get("/api/compare", response_model=answers.Compared)
    def compare(working: WorkingHere, one: answers.Id, other: answers.Id) -> Any:
        """Who is inside one of two cases alone, and why."""
        return compare_cases(working.register, one, other)
