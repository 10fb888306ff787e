"""Which saved cases may somebody see? A lead all; others of the agency those that are shared."""

from __future__ import annotations

from typing import Any

from slackwater.errors import NotHere
from slackwater.people.roles import Caller, Least
from slackwater.store import Case, Register

IN_SHARED_HEAD = ("id", "name", "made_at", "by", "shared_at", "data_version")
NO_SUCH_CASE = "there is no such case here, or not any more"
FIGURES_TOLD = 3


def require_case(register: Register, case_id: str, caller: Caller) -> None:
    """Refuse a case that is not there, or not for this caller: both are told alike.

    Raises
    ------
    NotHere
        Where it is neither.
    """
    if caller.may(Least.LEAD):
        return  # whoever reads it finds out whether there is one
    if caller.may(Least.VIEWER):
        try:
            if register.shared_at_of(case_id):
                return
        except NotHere:
            pass
    raise NotHere(NO_SUCH_CASE)


def shared_heads(register: Register) -> dict[str, Any]:
    """Give what the agency is told of the cases that are shared, the newest first."""
    return {"cases": [_shared_head(case) for case in register.cases() if case.shared_at]}


def _shared_head(case: Case) -> dict[str, Any]:
    spent = case.result["spent"]
    return {
        **{name: getattr(case, name) for name in IN_SHARED_HEAD},
        "way": case.trial["way"],
        "budget": case.trial["budget"],
        "spent": spent_told(spent),
        "count": case.result["inside_count"],
    }


def spent_told(spent: float) -> float:
    """Round what a set spends: less what the unquoted cost, it would be a single quote's price."""
    return float(f"{spent:.{FIGURES_TOLD}g}")
