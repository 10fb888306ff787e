"""A brief for one landholder: the pump first, then money, then fish, and room to put us right."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports import cautions
from slackwater.reports.printing import page
from slackwater.reports.stamp import Stamp

CLOGS = {
    True: "As a screen clogs, the difference in level across it grows: the pump sucks harder and "
    "delivers less. Ask for a gauge that shows it, with an alarm or a cut-out.",
    False: "As a screen clogs, the difference in level across it grows and less water comes into "
    "the channel. Ask for a gauge that shows it, with an alarm.",
}
BLOCKS = (
    "Ask how the screen is lifted or swung clear, by whom, and whether water can be drawn "
    "meanwhile.",
    "The built screen has a relief of its own, designed by an engineer, so that it neither "
    "collapses nor starves the intake. While the relief is open, fish are not protected.",
)
"""Common practice, no source; the page says so. The first differs for pump and channel."""
DAYS_OFF = (
    "Not known: nothing in the data says how long the work takes here. Ask the installer in "
    "writing how many days the intake is out of use, in which weeks, and what happens if the "
    "river rises meanwhile."
)
WHO_CARES = (
    "Settle in writing before it is built: who cleans it, who inspects it and how often, who keeps "
    "spare parts, and who pays when it is damaged by a flood."
)


@dataclass(frozen=True)
class Answer:
    """A question a landholder asks, with sentences that answer it."""

    question: str
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class FishRow:
    """One guild.

    Attributes
    ----------
    numbers : what this intake takes of it, a text a column of ``LandholderBrief.fish_columns``.
    """

    name: str
    numbers: tuple[str, ...]


@dataclass(frozen=True)
class UsedFact:
    """Something this brief was made from."""

    meaning: str
    value: str
    basis: str


@dataclass(frozen=True)
class LandholderBrief:
    """All that stands in the brief.

    Attributes
    ----------
    addressed_to : lines; none in the public version.
    no_screen : why nothing can go on the intake, as far as it may be told.
    screen : term and value of what goes on the intake; none where nothing can.
    answers : about the pump, in the order a landholder asks; what if it blocks comes after them.
    money, fish : terms, sentences and rows.
    """

    stamp: Stamp
    code: str
    about: str
    addressed_to: tuple[str, ...]
    is_pump: bool
    opening: str
    no_screen: tuple[str, ...]
    screen_name: str
    screen: tuple[tuple[str, str], ...]
    answers: tuple[Answer, ...]
    money: tuple[tuple[str, str], ...]
    money_sentences: tuple[str, ...]
    fish_columns: tuple[str, ...]
    fish: tuple[FishRow, ...]
    fish_sentences: tuple[str, ...]
    used: tuple[UsedFact, ...]


def landholder_brief_html(facts: LandholderBrief) -> str:
    """Give the brief as HTML for A4."""
    return page(
        "landholder",
        facts.stamp,
        facts=facts,
        blocks=(CLOGS[facts.is_pump], *BLOCKS),
        cautions=(
            cautions.SUCTION,
            cautions.WORK,
            cautions.POWER,
            cautions.LIFTING,
            cautions.APPROVALS,
            cautions.RANKS,
        ),
    )
