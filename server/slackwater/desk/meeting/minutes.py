"""What is kept of a meeting for everyone? Facts, made once when it closes; public ones alone.

Nothing here comes from what a phone alone knows: places marked and single weightings are not read,
a group that few spoke for is kept without its count, and none where few phones joined.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import datetime, tzinfo
from typing import Any

from slackwater.desk.meeting.minutes_sites import Sites
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.times import read_at
from slackwater.desk.visibility import Viewer
from slackwater.reports.drawing_kept import kept_drawing
from slackwater.reports.map_drawing import draw_map
from slackwater.reports.minutes import FORM

WIDTH_MM, MOST_HEIGHT_MM = 182.0, 118.0
"""Of the map."""
FEW = 3
"""Phones of a group below this are not counted in public."""
Values = dict[str, Any]


def minutes_facts(
    case: CaseShown,
    meeting: Mapping[str, Any],
    lead: Mapping[str, Any],
    *,
    room: Mapping[str, Any] | None,
    agreed_case: CaseShown | None,
    ended_at: datetime,
    zone: tzinfo | None = None,
) -> Values:
    """Give the facts of the minutes as plain JSON values.

    Parameters
    ----------
    case : the shared case the meeting rested on.
    meeting : what its pages were told once and for all.
    lead : what the facilitator was told at the end; places marked are not read.
    room : what the weightings have in common, every offtake that turns on opinion among it; None
        where too few were tried.
    agreed_case : what the agreed trial was kept as; None where none was.
    zone : in which times are written; this machine's own where not given.
    """
    agreed, held = dict(lead["agreed"] or {}), agreed_case or case
    sites = Sites(case, held, room, int(lead["tried"]))
    tell_groups = lead["phones"] >= meeting["least_tried"]
    spoken = {name: count for name, count in lead["groups"].items() if count and tell_groups}
    return {
        "form": FORM,
        "code": meeting["code"],
        "stamp": asdict(case.stamp(ended_at.astimezone(zone), Viewer.PUBLIC)),
        "way": case.way,
        "currency": case.currency,
        "budget": case.trial["budget"],
        "opened_at": _in_hall(read_at(meeting["opened_at"]), zone),
        "ended_at": _in_hall(ended_at, zone),
        "shown": _shown(lead["shown"], meeting["steps"], ended_at, zone),
        "done": [{**each, "at": _in_hall(read_at(each["at"]), zone)} for each in lead["done"]],
        "phones": lead["phones"],
        "tried": lead["tried"],
        "least_tried": meeting["least_tried"],
        "weighed": _weighed(meeting, room),
        "room": None if room is None else sites.of_room(),
        "by_score": _bought(meeting["facts"]["by_score"]),
        "best": _bought(meeting["facts"]["best"]),
        "best_proven": not meeting["facts"]["best"]["gap"],
        "groups": [[name, count if count >= FEW else None] for name, count in spoken.items()],
        "without": [name for name in meeting["groups"] if tell_groups and name not in spoken],
        "counts_told": counts_told(spoken, lead["phones"]),
        "agreed": _agreed(agreed, sites),
        "listed": sites.inside(),
        "skipped": sites.skipped(),
        "drawing": kept_drawing(
            draw_map(ground_shown(held, Viewer.PUBLIC), WIDTH_MM, MOST_HEIGHT_MM)
        ),
    }


def _in_hall(moment: datetime, zone: tzinfo | None) -> str:
    """Give a moment as the hall's clock showed it, with how far that is from UTC."""
    return moment.astimezone(zone).isoformat(timespec="seconds")


def _shown(
    history: Sequence[Mapping[str, Any]],
    steps: Sequence[Mapping[str, Any]],
    ended_at: datetime,
    zone: tzinfo | None,
) -> list[Values]:
    """Give each step that was shown, in the order they first came, with how long in all."""
    titles = {each["step"]: each["title"] for each in steps}
    began = [read_at(each["at"]) for each in history]
    told: dict[str, Values] = {}
    for each, at, until in zip(history, began, [*began[1:], ended_at], strict=False):
        of = told.setdefault(
            each["step"],
            {"title": titles[each["step"]], "first_at": _in_hall(at, zone),
             "times": 0, "minutes": 0.0},
        )  # fmt: skip
        of["times"] += 1
        of["minutes"] += max(0.0, (until - at).total_seconds() / 60)
    return list(told.values())


def _weighed(meeting: Mapping[str, Any], room: Mapping[str, Any] | None) -> list[Values]:
    """Give each criterion as the case weighs it and, where it is told, the room."""
    weights = meeting["weights"]
    of_room = {each["name"]: each for each in room["weights"]} if room else {}
    spread = ("low", "middle", "high")
    return [
        {
            "label": each["label"],
            "of_case": weights[each["name"]] / 1000,
            **{name: of_room[each["name"]][name] for name in spread if of_room},
        }
        for each in meeting["criteria"]
    ]


def _bought(way: Mapping[str, Any]) -> Values:
    return {"inside": way["inside"], "benefit_share": way["benefit_share"]}


def counts_told(spoken: Mapping[str, int], phones: int) -> bool:
    """Whether groups may be told with counts: not where the rest of the phones would give small
    ones away, each of them being one phone then.
    """
    few = [name for name, count in spoken.items() if count < FEW]
    rest = phones - sum(count for count in spoken.values() if count >= FEW)
    return not few or rest > len(few)


def _agreed(agreed: Mapping[str, Any], sites: Sites) -> Values:
    """Give what was agreed; a trial against the case as it stood."""
    held = sites.held
    before, after = sites.codes_inside(sites.case), sites.codes_inside(held)
    return {
        "what": agreed.get("what", ""),
        "case_name": held.case["name"],
        "way": held.way,
        "bought": _bought(
            {"inside": held.result["inside_count"], "benefit_share": held.result["benefit_share"]}
        ),
        "weights": [list(each) for each in held.weights],
        "joins": [code for code in after if code not in before],
        "leaves": [code for code in before if code not in after],
        "words": agreed.get("words", ""),
        "left_open": agreed.get("left_open", ""),
    }
