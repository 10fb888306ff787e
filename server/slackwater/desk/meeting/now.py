"""What does a meeting show now, to the hall, to a phone and to the facilitator? Plain values."""

from __future__ import annotations

from typing import Any

from slackwater.desk.meeting.agreed_shown import agreed_sentence, agreed_values
from slackwater.desk.meeting.said import room_said, trial_said, turn_said
from slackwater.desk.meeting.shown import MeetingShown
from slackwater.meeting.phones import Phone
from slackwater.meeting.snapshot import LEAST_TRIED, LeadSnapshot, Snapshot, Trial
from slackwater.meeting.weightings import Turn

MOST_TURNS = 40


def now_values(now: Snapshot, shown: MeetingShown) -> dict[str, Any]:
    """Give what everyone may see.

    A trial or agreement not seen before takes a sweep of the river; never call it in a loop that
    serves others.
    """
    trial = None if now.trial is None else _trial(now.trial, shown)
    agreed = agreed_values(now, shown) if now.agreed.what else None
    return {
        "at": now.at,
        "step": now.step,
        "held": now.held,
        "door_open": now.door_open,
        "ended": now.ended,
        "phones": now.phones,
        "tried": now.tried,
        "sentence": _sentence(now, shown, trial, agreed),
        "room": room_values(now, shown),
        "trial": trial,
        "agreed": agreed,
    }


def lead_values(
    lead: LeadSnapshot, shown: MeetingShown, *, minutes: bool = False
) -> dict[str, Any]:
    """Give what the facilitator sees beside the wall.

    Parameters
    ----------
    minutes : whether there are minutes by now.
    """
    told = now_values(lead.now, shown)
    return {
        **told,
        "groups": dict(lead.groups),
        "unsaid": lead.unsaid,
        "places": [
            {"phone": number, "x_mm": place.x_mm, "y_mm": place.y_mm, "words": place.words}
            for number, place in lead.places
        ],
        "present": lead.present,
        "dropped": lead.dropped,
        "agreed": {
            **(told["agreed"] or agreed_values(lead.now, shown)),
            "left_open": lead.now.agreed.left_open,
            "revision": lead.now.agreed.revision,
        },
        "shown": [{"at": each.at, "step": each.step} for each in lead.shown],
        "done": [{"at": each.at, "what": each.what} for each in lead.done],
        "minutes": minutes,
    }


def mine_values(phone: Phone, shown: MeetingShown) -> dict[str, Any]:
    """Give a phone what it said and what follows; ``inside`` in the case's order of rank."""
    return {
        "levels": None if phone.levels is None else dict(phone.levels),
        "group": phone.group,
        "places": [
            {"x": place.x_mm, "y": place.y_mm, "words": place.words} for place in phone.places
        ],
        "inside": [] if phone.inside is None else shown.codes_of(phone.inside),
        "weights": None if phone.weights is None else shown.named(phone.weights),
    }


def room_values(
    now: Snapshot, shown: MeetingShown, *, most_turns: int | None = MOST_TURNS
) -> dict[str, Any] | None:
    """Give what all that was tried has in common; None where too little was.

    Parameters
    ----------
    most_turns : how many sites that turn on opinion are told, those nearest half first; None: all.
    """
    if now.figures is None:
        return None
    figures, tried = now.figures, now.tried
    spread, rank = figures.spread, {row: place for place, row in enumerate(shown.by_rank)}
    turning = sorted(
        figures.turns, key=lambda turn: (abs(2 * turn.count - tried), rank[turn.position])
    )
    weights = zip(shown.basis.criteria, spread.low, spread.middle, spread.high, strict=True)
    return {
        "weights": [
            {
                "name": name,
                "label": shown.labels[name],
                "low": low / 1000,
                "middle": middle / 1000,
                "high": high / 1000,
            }
            for name, low, middle, high in weights
        ],
        "stays": shown.codes_of(figures.stays),
        "turns": [_turn(turn, tried, shown) for turn in turning[:most_turns]],
        "turns_count": len(turning),
        "few": figures.few,
        "inside_count": int(figures.inside.sum()),
    }


def _sentence(
    now: Snapshot,
    shown: MeetingShown,
    trial: dict[str, Any] | None,
    agreed: dict[str, Any] | None,
) -> str:
    """Say what is true of the step now; of a trial and an agreement as they are told."""
    if now.step == "room":
        figures = now.figures
        inside, stays = (0, 0) if figures is None else (figures.inside.sum(), figures.stays.sum())
        return room_said(now.tried, LEAST_TRIED, int(inside), int(stays))
    if now.step == "choice" and agreed is not None:
        return agreed_sentence(agreed, trial)
    if now.step == "choice" and trial is not None:
        share = shown.values["facts"]["benefit_share"]
        return trial_said(len(trial["joins"]), len(trial["leaves"]), trial["benefit_share"], share)
    return shown.sentence(now.step)


def _turn(turn: Turn, tried: int, shown: MeetingShown) -> dict[str, Any]:
    """Say of one site on what it depends; ``on`` is "" where no one criterion tells them apart."""
    on = shown.basis.criteria[turn.on] if turn.on >= 0 else ""
    return {
        "code": shown.codes[turn.position],
        "count": turn.count,
        "on": on,
        "more": turn.more,
        "words": turn_said(turn.count, tried, shown.labels.get(on, ""), turn.more),
    }


def _trial(trial: Trial, shown: MeetingShown) -> dict[str, Any]:
    """Set a trial beside the case; like every list by score it minds no choice by hand."""
    return {
        "weights": shown.named(trial.weights),
        "joins": shown.codes_of(trial.inside & ~shown.case_inside),
        "leaves": shown.codes_of(shown.case_inside & ~trial.inside),
        "inside": int(trial.inside.sum()),
        "benefit_share": shown.money.benefit_share(trial.weights),
    }
