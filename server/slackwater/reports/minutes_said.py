"""How do the minutes say what came of a meeting? In whole sentences, each true of the facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from slackwater.reports.figures import count_of, long_date, money, percent, sentence
from slackwater.reports.minutes_facts import Bought, Minutes
from slackwater.reports.room_said import (
    groups_said,
    middle_said,
    stays_said,
    tried_said,
    turns_said,
    weighed_said,
    without_said,
)

NO_WORDS = "Nothing was written down."


@dataclass(frozen=True)
class Said:
    """The sentences of the minutes; "" where there is nothing to say.

    Attributes
    ----------
    best : what the set that gains the river most is called: a meeting seeks it for seconds only.
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
    best: str
    groups: str
    without: str
    list_head: str
    in_set: str


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
        best="Best set found" if facts.way == "By score" else "Best set",
        groups=groups_said(facts),
        without=without_said(facts),
        list_head=sentence(shown).rstrip("."),
        in_set="Agreed set" if agreed else "Case",
    )


def clock(moment: str) -> str:
    """Give the time of day of an ISO moment: "19:02"."""
    return f"{datetime.fromisoformat(moment):%H:%M}"


def lasted(minutes: float) -> str:
    """Give how long something stood, in whole minutes."""
    return "less than 1\u00a0min" if minutes < 1 else f"{minutes:,.0f}\u00a0min"


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
        f"avoids {percent(agreed.bought.benefit_share)} of the loss to pumps."
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
        f"{percent(before.benefit_share)} of the loss to pumps. {sentence(moved)}"
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
