"""The minutes of a meeting as a page for everyone, printed from what was kept when it closed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackwater.reports import cautions
from slackwater.reports.drawing_kept import drawing_of
from slackwater.reports.minutes_facts import (
    Agreed,
    Bought,
    CriterionWeighed,
    DoneThere,
    Minutes,
    Room,
    Site,
    StepShown,
)
from slackwater.reports.minutes_said import clock, lasted, said_of
from slackwater.reports.printing import page
from slackwater.reports.room_said import share, turns_on, whole_share
from slackwater.reports.signs import INSIDE, Sign
from slackwater.reports.stamp import Stamp

FORM = 1
"""Of the facts as they are kept; whoever makes another form must still read this one."""
AS_KEPT = (
    "code", "way", "currency", "budget", "opened_at", "ended_at", "phones", "tried", "least_tried",
    "counts_told", "best_proven", "skipped",
)  # fmt: skip


def minutes_html(facts: Minutes, look_address: str, pdf_address: str) -> str:
    """Give the minutes as a whole page without any script; it prints on A4 as well.

    Parameters
    ----------
    pdf_address : "" where no PDF can be made.
    """
    return page(
        "minutes",
        facts.stamp,
        facts=facts,
        said=said_of(facts),
        clock=clock,
        lasted=lasted,
        share=share,
        whole_share=whole_share,
        turns_on=turns_on,
        INSIDE=INSIDE,
        look_address=look_address,
        pdf_address=pdf_address,
        cautions=(cautions.RANKS, cautions.WORK, cautions.SUCTION, cautions.APPROVALS),
    )


def minutes_of(kept: Mapping[str, Any]) -> Minutes:
    """Give the minutes from what was kept when the meeting closed."""
    room = kept["room"]
    return Minutes(
        **{name: kept[name] for name in AS_KEPT},
        stamp=Stamp(**kept["stamp"]),
        shown=tuple(StepShown(**each) for each in kept["shown"]),
        done=tuple(DoneThere(**each) for each in kept["done"]),
        weighed=tuple(CriterionWeighed(**each) for each in kept["weighed"]),
        room=None if room is None else _room(room),
        by_score=Bought(**kept["by_score"]),
        best=Bought(**kept["best"]),
        groups=tuple((name, count) for name, count in kept["groups"]),
        without=tuple(kept["without"]),
        agreed=_agreed(kept["agreed"]),
        listed=_sites(kept["listed"]),
        drawing=drawing_of(kept["drawing"]),
    )


def _room(kept: Mapping[str, Any]) -> Room:
    return Room(_sites(kept["stays"]), _sites(kept["turns"]), kept["few"], kept["inside"])


def _agreed(kept: Mapping[str, Any]) -> Agreed:
    return Agreed(
        **{
            **kept,
            "bought": Bought(**kept["bought"]),
            "weights": tuple((label, weight) for label, weight in kept["weights"]),
            "joins": tuple(kept["joins"]),
            "leaves": tuple(kept["leaves"]),
        }
    )


def _sites(kept: list[Mapping[str, Any]]) -> tuple[Site, ...]:
    return tuple(
        Site(**{**each, "sign": Sign(each["sign"]), "band": tuple(each["band"] or ()) or None})
        for each in kept
    )
