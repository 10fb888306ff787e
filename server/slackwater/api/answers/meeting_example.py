"""Examples of what a meeting tells, for the description of the service."""

from __future__ import annotations

from typing import Any

AT = "2026-11-29T08:30:00.000+00:00"
WEIGHTS = {"risk": 600, "overlap": 100, "cost": 300}
_WAY = {"inside": 2, "benefit_share": 0.62}
MEETING: dict[str, Any] = {
    "code": "K7RM4P",
    "case_name": "Round one",
    "catchment": "Lantern",
    "way": "By score",
    "budget": 62000.0,
    "currency": "CDL",
    "opened_at": AT,
    "ends_at": "2026-11-29T14:30:00.000+00:00",
    "stamp": "Lantern. Case “Round one”, shared 29 November 2026.",
    "join": "https://river.example/meet/K7RM4P",
    "join_short": "river.example/meet",
    "criteria": [{"name": "risk", "label": "Entrainment risk", "meaning": "How much is at risk."}],
    "weights": WEIGHTS,
    "groups": ["irrigator", "angler", "traditional owner", "council", "agency", "other"],
    "least_tried": 5,
    "map": {
        "width_mm": 180.0,
        "height_mm": 120.0,
        "rivers": [{"path": "M4.00 4.00L60.10 22.50", "width_mm": 0.9, "name": "Lantern River"}],
        "towns": [{"name": "Wick", "size": 2, "x_mm": 61.3, "y_mm": 20.0}],
        "scale": {"words": "5 km", "mm": 39.98},
        "relief": None,
    },
    "offtakes": [
        {
            "code": "A",
            "x_mm": 18.8,
            "y_mm": 11.0,
            "rank": 1,
            "state": "inside",
            "risk": 4,
            "loss_share": 0.22,
            "cost_band": "20,000 to 50,000",
            "reach": "Lantern River, reach 3 of 52",
            "kind": "pump",
            "by_score": True,
            "best": True,
        }
    ],
    "facts": {
        "river_km": 29.2,
        "offtakes": 3,
        "pumps": 2,
        "channels": 1,
        "loss_words": "1.7 % to 2.8 % of the young fish adrift, by kind of fish",
        "half_of_loss_at": 1,
        "inside": 2,
        "benefit_share": 0.62,
        "by_score": _WAY,
        "best": {**_WAY, "gap": 0.0},
    },
    "steps": [{"step": "river", "title": "The river", "sentence": "3 offtakes along 29.2 km."}],
}
_AGREED: dict[str, Any] = {
    "what": "trial",
    "words": "Start this winter.",
    "at": AT,
    "inside_count": 2,
    "benefit_share": 0.62,
    "inside": ["A", "C"],
    "weights": WEIGHTS,
    "is_trial_shown": False,
}
NOW: dict[str, Any] = {
    "at": AT,
    "step": "room",
    "held": False,
    "door_open": True,
    "ended": False,
    "phones": 7,
    "tried": 6,
    "sentence": "The middle of this room reaches 2 offtakes; 1 stays inside under all 6 weightings "
    "tried here.",
    "room": {
        "weights": [
            {"name": "risk", "label": "Entrainment risk", "low": 0.4, "middle": 0.62, "high": 0.7}
        ],
        "stays": ["A"],
        "turns": [
            {"code": "B", "count": 3, "on": "cost", "more": False, "words": "3 of 6 fund it; …"}
        ],
        "turns_count": 1,
        "few": 1,
        "inside_count": 2,
    },
    "trial": {
        "weights": WEIGHTS,
        "joins": ["B"],
        "leaves": [],
        "inside": 2,
        "benefit_share": 0.62,
    },
    "agreed": _AGREED,
}
LEAD: dict[str, Any] = {
    **NOW,
    "agreed": {**_AGREED, "left_open": "Who pays?", "revision": 2},
    "wall": NOW,
    "present": 6,
    "groups": {"irrigator": 3, "angler": 2, "council": 1},
    "unsaid": 1,
    "places": [{"phone": 4, "x_mm": 61.5, "y_mm": 40.0, "words": "the old ford"}],
    "dropped": 0,
    "shown": [{"at": AT, "step": "river"}],
    "done": [{"at": AT, "what": "held"}],
    "minutes": False,
}
