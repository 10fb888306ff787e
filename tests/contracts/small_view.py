"""The small catchment of the checks, evaluated and ready to be shown, with secrets planted."""

from __future__ import annotations

from datetime import UTC, datetime

from slackwater.desk.evaluation import evaluate
from slackwater.desk.map_view import MapView, Relief
from tests.catchment.small import small

SECRETS = {
    "landholder": "Zacharias Undisclosed",
    "licence": "LIC-UNDISCLOSED-77",
    "contact": "undisclosed@example.invalid",
}
QUOTE = "51239"


def small_view(relief: Relief | None = None) -> MapView:
    """Give the view; offtake B (row 1) is quoted, A and B are metered, C is declined."""
    of = small()
    for column, secret in SECRETS.items():
        of.set("offtakes", 1, column, secret)
    of.set("offtakes", 1, "quote", QUOTE)
    of.set("offtakes", 2, "status", "declined")
    understood = of.understood()
    assert understood.catchment is not None, understood.faults
    return MapView(
        evaluate(understood.catchment),
        understood.warnings,
        relief,
        datetime(2026, 1, 2, tzinfo=UTC),
    )
