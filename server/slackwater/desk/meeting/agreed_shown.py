"""What did the hall agree on, as wall and facilitator show it? That very set, never a newer one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackwater.desk.meeting.said import agreed_said, another_said
from slackwater.desk.meeting.shown import MeetingShown
from slackwater.meeting.led import Agreed
from slackwater.meeting.snapshot import Snapshot


def agreed_values(now: Snapshot, shown: MeetingShown) -> dict[str, Any]:
    """Give what stands as agreed; a trial as it was then, whatever the room has moved to since."""
    agreed = now.agreed
    count, share, inside = _bought(agreed, shown)
    weights = agreed.weights
    return {
        "what": agreed.what,
        "words": agreed.words,
        "at": agreed.at,
        "inside_count": count,
        "benefit_share": share,
        "inside": inside,
        "weights": None if weights is None else shown.named(weights),
        "is_trial_shown": is_trial_shown(now),
    }


def agreed_sentence(agreed: Mapping[str, Any], trial: Mapping[str, Any] | None) -> str:
    """Say what was agreed, or that the trial on the wall is another one; both as they are told."""
    count, share = agreed["inside_count"], agreed["benefit_share"]
    if trial is None or agreed["is_trial_shown"]:
        return agreed_said(agreed["what"], count, share)
    return another_said(trial["inside"], trial["benefit_share"], count, share)


def is_trial_shown(now: Snapshot) -> bool:
    """Whether the trial on the wall is the one agreed."""
    return now.trial is not None and now.trial.weights == now.agreed.weights


def _bought(agreed: Agreed, shown: MeetingShown) -> tuple[int, float, list[str]]:
    """Give how many are inside, the share of the loss they avoid, and their codes."""
    if agreed.weights is not None:
        inside = shown.money.inside_of(agreed.weights)
        share = shown.money.benefit_share(agreed.weights)
    elif agreed.what:
        inside, share = shown.case_inside, shown.values["facts"]["benefit_share"]
    else:
        return 0, 0.0, []
    return int(inside.sum()), share, shown.codes_of(inside)
