"""What is asked about a budget, and what long work answers."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from slackwater.api.answers.shape import Answer, like

MOST_ROWS = 100_000
MOST_WORDS = 2_000
MOST_GROUPS = 1_000


class FundAsked(BaseModel):
    """A budget and the conditions it is spent under."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        json_schema_extra={
            "examples": [
                {"budget": 250000.0, "kept_in": {"A": "agreed with the council"}, "left_out": {}}
            ]
        },
    )

    budget: float = Field(ge=0, allow_inf_nan=False, description="money the fund can spend")
    kept_in: dict[str, str] = Field({}, description="code -> why it is kept in by hand")
    left_out: dict[str, str] = Field({}, description="code -> why it is left out by hand")
    district_least: dict[str, float] = Field({}, description="district -> share of the budget")
    district_most: dict[str, float] = Field({}, description="district -> share of the budget")
    most_installs: int | None = Field(None, ge=0)
    together: list[list[str]] = Field(
        [], max_length=MOST_GROUPS, description="groups of codes, all or none; mobilisation once"
    )
    beside: list[int] = Field(
        [], max_length=MOST_ROWS, description="rows a list by score funds, at their best options"
    )


class SiteAsked(FundAsked):
    """The same, about one offtake."""

    code: str = Field(description="the offtake's code")


class Clash(Answer):
    """A rule that cannot be met."""

    rule: str
    short_by: float = Field(description="money, or installs")


class WorkFailure(Answer):
    """Why long work gave no answer."""

    code: str
    message: str
    clash: list[Clash] | None = None


class WorkAnswer(Answer):
    """A piece of long work: how it stands, and its answer so far."""

    model_config = like(
        {
            "id": "3vXbWn0aT2",
            "kind": "best-set",
            "state": "working",
            "done": 12,
            "total": 40,
            "answer": None,
            "error": None,
        }
    )

    id: str
    kind: str
    state: str = Field(description="working, done, stopped or failed")
    done: int = Field(description="sweeps and searches finished")
    total: int = Field(description="of so many known so far")
    answer: dict[str, Any] | None = Field(
        None,
        description="a first answer may come while the work goes on; the guide describes each kind",
    )
    error: WorkFailure | None = None
