"""Examples of a case, for the description of the service."""

from __future__ import annotations

from typing import Any

ID = "6b0f9a52-9d0e-4c53-8f7c-0a4b6f1f2e11"
TRIAL: dict[str, Any] = {
    "weights": {"risk": 600, "overlap": 100, "cost": 300},
    "budget": 45000.0,
    "way": "score",
    "kept_in": {"A": "agreed with the council"},
    "left_out": {},
    "district_least": {},
    "district_most": {},
    "most_installs": None,
    "together": [],
    "unit": "ML/d",
    "year": "mean",
    "guild": "all",
    "selected": "A",
}
HEAD: dict[str, Any] = {
    "id": ID,
    "name": "Round one",
    "note": "",
    "made_at": "2026-01-02T00:00:00+00:00",
    "by": "lead",
    "shared_at": None,
    "copied_from": None,
    "data_version": "0123456789ab",
    "model_version": "1",
    "on_present_data": True,
    "way": "score",
    "budget": 45000.0,
    "inside_count": 1,
    "spent": 22000.0,
    "benefit_share": 0.3,
}
SHARED_HEAD: dict[str, Any] = {
    "id": ID,
    "name": "Round one",
    "made_at": "2026-01-02T00:00:00+00:00",
    "by": "lead",
    "shared_at": "2026-01-03T00:00:00+00:00",
    "data_version": "0123456789ab",
    "way": "score",
    "budget": 45000.0,
    "spent": 22000.0,
    "count": 1,
}
ROW: dict[str, Any] = {
    "code": "A",
    "rank": 1,
    "score": 0.8,
    "state": "inside",
    "why_not": "",
    "by_hand": "",
    "committed": False,
    "option": "cone",
    "cost": 22000.0,
    "gain_share": 0.3,
    "loss_share": 0.5,
    "close_call": False,
}
CASE: dict[str, Any] = {
    **HEAD,
    "trial": TRIAL,
    "result": {
        "rows": [ROW],
        "spent": 22000.0,
        "budget": 45000.0,
        "inside_count": 1,
        "benefit_adults": 12.5,
        "benefit_share": 0.3,
        "close_call_count": 0,
        "upper_bound_adults": None,
        "gap": None,
        "by_score": {"spent": 22000.0, "benefit_adults": 12.5},
        "certificate": None,
        "sentence": "1 offtake, 22,000 of 45,000 CDL, avoiding 30 % of the loss to pumps; no close "
        "call.",
    },
    "data": {
        "data_version": "0123456789ab",
        "changed_at": "2026-01-01T00:00:00+00:00",
        "is_present": True,
    },
}
_MONEY = {
    "budget": 45000.0,
    "spent": 22000.0,
    "inside_count": 1,
    "benefit_adults": 12.5,
    "benefit_share": 0.3,
}
COMPARED: dict[str, Any] = {
    "one": HEAD,
    "other": {**HEAD, "budget": 62000.0, "spent": 62000.0, "inside_count": 2},
    "enters": [
        {
            "code": "B",
            "cost": 40000.0,
            "gain_share": 0.1,
            "rank_before": 2,
            "rank_after": 2,
            "why": "the larger budget reaches it (rank 2)",
        }
    ],
    "leaves": [],
    "stays": 1,
    "money": {
        "one": _MONEY,
        "other": {**_MONEY, "budget": 62000.0, "spent": 62000.0, "inside_count": 2},
        "spent_more": 40000.0,
        "benefit_share_more": 0.1,
        "sentence": "It costs 40,000 CDL more and avoids 10 % of the loss to pumps more.",
    },
    "what_changed": ["Budget: 45,000 → 62,000 CDL."],
}
