"""How do the minutes say what came of a meeting? In whole sentences, each true of the facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from slackwater.reports.figures import count_of, long_date, money, percent, sentence
from slackwater.reports.minutes_facts import Bought, Minutes
from slackwater.reports.room_said import (
    dash_said,
    groups_said,
    middle_said,
    stays_said,
    tried_said,
    turns_said,
    weighed_said,
    without_said,
)

NO_WORDS = "Nothing was written down."
LOSS = "the loss to pumps and channels"
DONE = {
    "held": "the wall held",
    "let go": "the wall let go on",
    "trial shown": "a trial shown, the middle of the weights",
    "trial stopped": "the trial stopped",
    "agreed case": "the case agreed",
    "agreed trial": "the trial agreed",
    "taken back": "what was agreed taken back",
}
"""What was done beside stepping, as `meeting.history` names it."""
RANKS = {
    "": "",
    "round": "Ranks that are missing are built or not in this round.",
    "outside": "Ranks that are missing are built, not in this round, or outside this set.",
}


@dataclass(frozen=True)
class Said:
    """The sentences of the minutes; "" where there is nothing to say.

    Attributes
    ----------
    at_least : before the loss that the best set avoids, where it is not proven.
    agreed : what the agreed set is called beside both ways to spend.
    done : what was done beside stepping, and when.
    map, list_head, in_set : what the map and the lists at the end show.
    """

    headline: str
    when: str
    tried: str
    no_words: str
    against: str
    map: str
    weighed: str
    stays: str
    turns: str
    middle: str
    ways: str
    at_least: str
    agreed: str
    done: str
    groups: str
    without: str
    list_head: str
    in_set: str
    ranks: str
    dash: str


def said_of(facts: Minutes) -> Said:
    """Say what the facts are."""
    agreed = bool(facts.agreed.what)
    shown = "the agreed set" if agreed else "the case as it stood"
    return Said(
        headline=_headline(facts),
        when=_when(facts),
        tried=tried_said(facts),
        no_words=NO_WORDS,
        against=_against(facts),
        map=f"The map shows {shown}. Offtakes stand side by side at the middle of their reach.",
        weighed=weighed_said(facts),
        stays=stays_said(facts),
        turns=turns_said(facts),
        middle=middle_said(facts),
        ways=_ways(facts),
        at_least="" if facts.best_proven else "at least ",
        agreed="Agreed: the trial" if facts.agreed.what == "trial" else "Agreed: the case",
        groups=groups_said(facts),
        without=without_said(facts),
        list_head=sentence(shown).rstrip("."),
        in_set="Agreed set" if agreed else "Case",
        done=_done(facts),
        ranks=RANKS[facts.skipped],
        dash=dash_said(facts),
    )


def clock(moment: str) -> str:
    """Give the time of day of an ISO moment: "19:02"."""
    return f"{datetime.fromisoformat(moment):%H:%M}"


def lasted(minutes: float) -> str:
    """Give how long something stood, in whole minutes."""
    return "less than 1\u00a0min" if minutes < 1 else f"{minutes:,.0f}\u00a0min"


def _done(facts: Minutes) -> str:
    told = "; ".join(f"{clock(each.at)} {DONE[each.what]}" for each in facts.done)
    return f"Beside the steps: {told}." if told else ""


def _headline(facts: Minutes) -> str:
    agreed = facts.agreed
    if agreed.what == "trial":
        start = f"Agreed: a trial, kept as the case “{agreed.case_name}”. It puts"
    elif agreed.what == "case":
        start = "Agreed: the case as it stands. It puts"
    else:
        start = "Nothing was agreed. The case as it stands puts"
    return (
        f"{start} {_inside(agreed.bought)} a budget of {money(facts.budget, facts.currency)} and "
        f"avoids {percent(agreed.bought.benefit_share)} of {LOSS}."
    )


def _inside(bought: Bought) -> str:
    return f"{count_of(bought.inside, 'offtake')} inside"


def _when(facts: Minutes) -> str:
    opened, ended = (datetime.fromisoformat(each) for each in (facts.opened_at, facts.ended_at))
    day = "" if opened.date() == ended.date() else f" on {long_date(ended)}"
    return (
        f"The meeting opened at {opened:%H:%M} on {long_date(opened)} and closed at "
        f"{ended:%H:%M}{day}; times are {opened.tzname() or 'UTC'}."
    )


def _against(facts: Minutes) -> str:
    """Say what the agreed trial changes; the codes themselves follow."""
    if facts.agreed.what != "trial":
        return ""
    before = facts.by_score if facts.way == "By score" else facts.best
    moved = (
        f"{_moved(len(facts.agreed.joins), 'join')}, {_moved(len(facts.agreed.leaves), 'leave')}"
        if facts.agreed.joins or facts.agreed.leaves
        else "the same offtakes are inside now"
    )
    return (
        f"As it stood, the case puts {_inside(before)} and avoids "
        f"{percent(before.benefit_share)} of {LOSS}. {sentence(moved)}"
    )


def _moved(count: int, verb: str) -> str:
    return f"{count_of(count, 'offtake')} {verb}{'' if count > 1 else 's'}"


def _ways(facts: Minutes) -> str:
    return (
        f"The same weights and the same {money(facts.budget, facts.currency)}, spent in two ways: "
        "down the ranks until the money ends, or on the set that gains the river most. "
        f"The case is spent {'by score' if facts.way == 'By score' else 'on the best set'}. "
        "Choices by hand and conditions hold for the best set alone."
    )
