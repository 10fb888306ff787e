"""Follow-up of offers, and who comes in when one declines."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from slackwater.api.answers.asked import Asked, Id, Name, Words, asked_like
from slackwater.api.answers.funding import SiteAsked
from slackwater.api.answers.shape import Answer, like

_STEP = {
    "id": "6b0f9a52-9d0e-4c53-8f7c-0a4b6f1f2e12",
    "step": "accepted",
    "on": "2026-05-03",
    "committed": 42000.0,
    "spent": None,
    "works_approval": "",
    "heritage": "to_do",
    "words": "",
    "by": "lead",
    "at": "2026-05-03T00:00:00+00:00",
}
_OFFER = {
    "code": "A",
    "status": "accepted",
    "steps": [_STEP],
    "committed": 42000.0,
    "counted": 40000.0,
    "screen_note": "",
    "spent": None,
    "works_approval": "",
    "heritage": "to_do",
    "next": "heritage check to do; works approval to do, before ground is broken",
    "warnings": [],
}

Money = Annotated[float, Field(ge=0, allow_inf_nan=False)]
StepName = Literal["offered", "accepted", "declined", "built", "note"]
Permit = Literal["not_needed", "to_do", "asked", "given", "refused", ""]


class OfferStepAsked(Asked):
    """A step of an offer; the same id and content again changes nothing."""

    model_config = asked_like(
        {
            "id": "6b0f9a52-9d0e-4c53-8f7c-0a4b6f1f2e12",
            "code": "A",
            "step": "accepted",
            "on": "2026-05-03",
            "committed": 42000.0,
            "heritage": "to_do",
        }
    )

    id: Id = Field(description="a UUID its maker chose")
    code: Name
    step: StepName
    on: str = Field(max_length=10, description="YYYY-MM-DD")
    committed: Money | None = None
    spent: Money | None = None
    works_approval: Permit = ""
    heritage: Permit = ""
    words: Words = ""
    by: Name = "lead"


class OfferStep(Answer):
    """A step that was written down."""

    id: str
    step: StepName
    on: str
    committed: float | None = None
    spent: float | None = None
    works_approval: Permit
    heritage: Permit
    words: str
    by: str
    at: str = Field(description="when it was written down, ISO, UTC")


class Offer(Answer):
    """How one offtake's offer stands."""

    code: str
    status: str
    steps: list[OfferStep] = Field(description="oldest first")
    committed: float | None = None
    counted: float | None = Field(None, description="cost the list counts for an accepted one")
    screen_note: str = Field(description="where no quote holds an accepted one to a screen")
    spent: float | None = None
    works_approval: Permit
    heritage: Permit
    next: str = Field(description="what stands next, in plain words")
    warnings: list[str]


class Offers(Answer):
    """Every offer; committed counts those accepted and built."""

    model_config = like(
        {
            "offers": [_OFFER],
            "committed_total": 42000.0,
            "spent_total": 0.0,
            "accepted_committed": 42000.0,
            "accepted_counted": 40000.0,
            "accepted_unmatched": 0,
        }
    )

    offers: list[Offer]
    committed_total: float
    spent_total: float
    accepted_committed: float = Field(description="of accepted ones that the list counts too")
    accepted_counted: float = Field(description="what the list counts for the same ones")
    accepted_unmatched: int = Field(description="accepted ones with no sum, or none counted")


class OfferKept(Answer):
    """An offer after a step."""

    model_config = like(
        {"offer": _OFFER, "revision": 2, "data_version": "0123456789ab", "repeated": False}
    )

    offer: Offer
    revision: int
    data_version: str
    repeated: bool


class ReserveAsked(SiteAsked):
    """Who declines, and the set that is left; without a code nobody does."""

    code: str = Field("", description="the offtake's code")
    way: Literal["score", "best"] = Field(
        "best", description="score: the set is `beside`, under no condition but the budget"
    )
