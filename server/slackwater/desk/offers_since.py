"""What became of offers since a case was saved? Who will not take one, and who came in instead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from slackwater.catchment.raw import RawCatchment
from slackwater.desk.evaluation import Evaluation

PROMISED = ("offered", "accepted", "built")


@dataclass(frozen=True)
class Since:
    """Offers by today's data, beside the data asked about.

    Attributes
    ----------
    refused : code -> why, of those who will not take an offer.
    came_in : codes of those who were offered money since, so that it is bound.
    """

    refused: Mapping[str, str] = field(default_factory=dict)
    came_in: frozenset[str] = frozenset()


def offers_since(evaluation: Evaluation, present: RawCatchment) -> Since:
    """Compare where offers stood with where they stand."""
    offtakes = evaluation.catchment.table("offtakes")
    then = dict(zip(offtakes.keys, offtakes.text("status").tolist(), strict=True))
    cells = present.tables["offtakes"].cells
    codes = [str(code) for code in cells["offtake_id"]]
    blank = [None] * len(codes)
    refused, came_in = {}, set()
    for code, status, willing in zip(
        codes, cells.get("status", blank), cells.get("willing", blank), strict=True
    ):
        if status == "declined":
            refused[code] = "it is declined"
        elif willing == "no" and status != "built":
            refused[code] = "the landholder is not willing"
        elif status in PROMISED and then.get(code) not in PROMISED:
            came_in.add(code)
    return Since(refused, frozenset(came_in))
