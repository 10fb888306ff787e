"""What is wrong with a request, and what is odd in the data."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from slackwater.api.answers.shape import Answer, like

_FINDING = {
    "table": "offtakes",
    "row": 2,
    "key": "A",
    "column": "use_06",
    "value": "",
    "code": "some_months_empty",
    "remedy": "counts 0: use_06; fill all twelve or none",
}


class FindingAnswer(Answer):
    """One fault or warning in the data."""

    table: str
    row: int | None
    key: str
    column: str
    value: str
    code: str
    remedy: str


class Findings(Answer):
    """What is odd in the data, though not wrong."""

    model_config = like({"warnings": [_FINDING]})

    warnings: list[FindingAnswer]


class ConflictAnswer(Answer):
    """A cell that is no longer what an edit took it to be."""

    table: str
    key: str
    column: str
    seen: Any
    now: Any
    by: str
    at: str


class AgreedMeanwhile(Answer):
    """What stands as agreed in a meeting, where another facilitator wrote first."""

    what: str
    words: str
    left_open: str
    revision: int


class ErrorBody(Answer):
    """What went wrong, in a word for programs and a sentence for people."""

    code: str
    message: str
    findings: list[FindingAnswer] | None = None
    conflicts: list[ConflictAnswer] | None = None
    minutes: bool | None = Field(None, description="of a meeting: whether its minutes can be read")
    agreed: AgreedMeanwhile | None = None


class ErrorAnswer(Answer):
    """The one shape of every error."""

    model_config = like(
        {"error": {"code": "not_found", "message": "There is no such offtake here."}}
    )

    error: ErrorBody
