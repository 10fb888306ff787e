"""Saved cases and what is another between two of them."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from slackwater.api.answers.asked import Id, asked_like
from slackwater.api.answers.case_example import (
    CASE,
    COMPARED,
    HEAD,
    ID,
    SHARED_HEAD,
    TRIAL,
)
from slackwater.api.answers.shape import Answer, like

MOST_GROUPS = 1_000
MOST_NOTE = 8_000
Text = Annotated[str, Field(max_length=MOST_NOTE)]
"""Any text; the desk says what of it can be kept."""
Thousandths = Annotated[int, Field(strict=True)]
Money = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Share = Annotated[float, Field(ge=0, le=1)]


class CaseTrial(BaseModel):
    """What is tried: weights, budget, hand choices, conditions, and what is shown."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    weights: dict[str, Thousandths] = Field(
        description="whole thousandths by criterion, all of them, summing to 1000"
    )
    budget: Money
    way: Literal["score", "best"]
    kept_in: dict[str, Text] = Field({}, description="code -> why it is kept in by hand")
    left_out: dict[str, Text] = Field({}, description="code -> why it is left out by hand")
    district_least: dict[str, Share] = Field({}, description="district -> share of the budget")
    district_most: dict[str, Share] = Field({}, description="district -> share of the budget")
    most_installs: int | None = Field(None, ge=0)
    together: list[list[str]] = Field(
        [], max_length=MOST_GROUPS, description="groups of codes, all or none"
    )
    unit: str = "ML/d"
    year: Literal["mean", "dry", "median", "wet"] = "mean"
    guild: str = "all"
    selected: str = Field("", description="code of the offtake that is looked at")


class CaseAsked(BaseModel):
    """A case to be kept; the same id and content again changes nothing."""

    model_config = asked_like({"id": ID, "name": "Round one", "trial": TRIAL})

    id: Id = Field(description="a UUID its maker chose")
    name: Text = Field(description="1 to 120 characters")
    note: Text = Field("", description="at most 4,000 characters")
    by: Text = "lead"
    copied_from: Id | Literal[""] = Field("", description="id of the case it began as")
    trial: CaseTrial


class CaseHead(Answer):
    """A case without its rows."""

    id: str
    name: str
    note: str
    made_at: str
    by: str
    shared_at: str | None = Field(None, description="null while it is its maker's own")
    copied_from: str | None = None
    data_version: str
    model_version: str
    on_present_data: bool
    way: str
    budget: float
    inside_count: int
    spent: float
    benefit_share: float


class Cases(Answer):
    """Every case, the newest first."""

    model_config = like({"cases": [HEAD]})

    cases: list[CaseHead]


class SharedHead(Answer):
    """A shared case as the agency is told of it."""

    id: str
    name: str
    made_at: str
    by: str
    shared_at: str
    data_version: str
    way: Literal["score", "best"]
    budget: float
    spent: float = Field(description="to three figures")
    count: int = Field(description="of offtakes inside")


class SharedCases(Answer):
    """The shared cases, for whoever of the agency is no lead."""

    model_config = like({"cases": [SHARED_HEAD]})

    cases: list[SharedHead]


class CaseRow(Answer):
    """One offtake as the case keeps it."""

    code: str
    rank: int
    score: float
    state: Literal["inside", "outside", "not_in_round"]
    why_not: str = Field(description="why it is no question of money; empty where it is")
    by_hand: Literal["kept_in", "left_out", ""]
    committed: bool = Field(description="accepted, so in with its cost counted")
    option: str | None = Field(None, description="in the set, else the one that serves best")
    cost: float | None = Field(None, description="to the fund, of that option")
    gain_share: float = Field(description="share of the loss that option avoids alone")
    loss_share: float
    close_call: bool


class SpentByScore(Answer):
    """What the list by score spends and gains at the same budget and weights."""

    spent: float
    benefit_adults: float


class CaseResult(Answer):
    """What came of the trial when it was saved."""

    rows: list[CaseRow] = Field(description="in order of rank")
    spent: float
    budget: float
    inside_count: int
    benefit_adults: float
    benefit_share: float
    close_call_count: int
    upper_bound_adults: float | None = Field(None, description="of the best set; null by score")
    gap: float | None = None
    by_score: SpentByScore
    certificate: dict[str, Any] | None = Field(None, description="of the best set; null by score")
    sentence: str


class CaseData(Answer):
    """The data a case rests on."""

    data_version: str
    changed_at: str = Field(description="when the data became so, ISO, UTC")
    is_present: bool


class Case(CaseHead):
    """A case with its trial and its result."""

    model_config = like(CASE)

    trial: CaseTrial
    result: CaseResult
    data: CaseData


class Moved(Answer):
    """An offtake that is inside one case alone."""

    code: str
    cost: float | None = None
    gain_share: float
    rank_before: int | None = None
    rank_after: int | None = None
    why: str


class CaseMoney(Answer):
    """What one case spends and gains."""

    budget: float
    spent: float
    inside_count: int
    benefit_adults: float
    benefit_share: float


class MoneyBetween(Answer):
    """What the other case costs and gains more."""

    one: CaseMoney
    other: CaseMoney
    spent_more: float
    benefit_share_more: float | None = Field(None, description="null on different data")
    sentence: str


class Compared(Answer):
    """What is another between two cases."""

    model_config = like(COMPARED)

    one: CaseHead
    other: CaseHead
    enters: list[Moved] = Field(description="inside the other case alone, in its order of rank")
    leaves: list[Moved] = Field(description="inside the one case alone, in its order of rank")
    stays: int
    money: MoneyBetween
    what_changed: list[str] = Field(description="sentences: weights, budget, conditions, data")
