"""A brief for the board on two pages: the decision, what it buys and does not, how sure it is."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports import cautions
from slackwater.reports.ground import Ground
from slackwater.reports.map_drawing import draw_map
from slackwater.reports.printing import page
from slackwater.reports.stamp import Stamp

WIDTH_MM, MOST_HEIGHT_MM = 182.0, 74.0


@dataclass(frozen=True)
class SetLine:
    """One way to spend the budget."""

    way: str
    spent: str
    avoided: str
    asked_for: bool


@dataclass(frozen=True)
class SiteLine:
    """One offtake in a short list."""

    rank: int
    code: str
    district: str
    cost: str
    gain: str


@dataclass(frozen=True)
class DistrictLine:
    """What one district gets."""

    district: str
    inside: str
    money: str
    money_share: str
    gain: str


@dataclass(frozen=True)
class BoardBrief:
    """All that stands in the brief; sentences where not said."""

    stamp: Stamp
    decision: str
    ground: Ground
    ways: tuple[SetLine, ...]
    buys: tuple[str, ...]
    largest: tuple[SiteLine, ...]
    does_not_buy: tuple[str, ...]
    next_in_line: tuple[SiteLine, ...]
    how_sure: tuple[str, ...]
    conditions: tuple[str, ...]
    districts: tuple[DistrictLine, ...]
    currency: str
    gain_unit: str


def board_brief_html(facts: BoardBrief) -> str:
    """Give the brief as HTML for A4."""
    return page(
        "board",
        facts.stamp,
        facts=facts,
        drawing=draw_map(facts.ground, WIDTH_MM, MOST_HEIGHT_MM),
        cautions=(cautions.RANKS, cautions.BEST, cautions.WORK, cautions.APPROVALS),
    )
