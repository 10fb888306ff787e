"""An example of the why of one offtake, as the public sees it."""

from __future__ import annotations

from typing import Any

WHY: dict[str, Any] = {
    "offtake_id": "A",
    "rank": 1,
    "of": 3,
    "sentence_facts": {"taken_of_passing": 0.031, "loss_share": 0.634512, "overlap": 0.482},
    "parts": [
        {
            "criterion": "risk",
            "label": "Entrainment risk",
            "weight_thousandths": 600,
            "value": 1.0,
            "points": 0.6,
        },
        {"criterion": "cost", "label": "Low cost", "weight_thousandths": 300},
    ],
    "loss": {
        "by_guild": [
            {"guild_id": "perch", "name": "Perch", "loss_share": 0.634512, "loss_adults": 793.4}
        ],
        "adults": 793.4,
        "adults_dry": 901.2,
        "adults_median": 793.4,
        "adults_wet": 640.0,
        "low": 396.7,
        "high": 1586.8,
        "assumed_range": True,
        "residents_share": 0.0,
    },
    "months": [{"month": 1, "passing_share": 0.25}],
    "screens": [
        {
            "option_id": "cone",
            "name": "Cone screen",
            "feasible": True,
            "approach_ms": 0.1,
            "slot_ms": 0.2,
            "capital_band": [20000.0, 50000.0],
            "gain_share": 0.41123,
            "is_best": True,
            "depth_unknown": False,
        }
    ],
    "caveat": "Published evidence of savings on farm is largely anecdotal (FRDC 2022-003).",
    "inputs": [
        {
            "column": "intake_depth_m",
            "meaning": "water depth there at low irrigation-season level",
            "unit": "m",
            "value": 1.5,
            "basis": "measured",
            "source": "site visit",
            "observed_on": "2020-05-01",
            "default_used": False,
            "visibility": "public",
        }
    ],
    "rests_on": [
        {
            "table": "reaches",
            "key": "up",
            "name": "Upper",
            "source": "",
            "inputs": [
                {
                    "column": "width_m",
                    "meaning": "width of the channel",
                    "unit": "m",
                    "value": 20.0,
                    "default_used": False,
                }
            ],
        }
    ],
}
