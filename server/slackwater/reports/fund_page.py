"""The printed fund page: what the money buys, where, in which order, and what it rests on."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports import cautions
from slackwater.reports.ground import Ground
from slackwater.reports.map_drawing import draw_map
from slackwater.reports.printing import page
from slackwater.reports.signs import Sign
from slackwater.reports.stamp import Stamp

WIDTH_MM, MOST_HEIGHT_MM = 182.0, 130.0


@dataclass(frozen=True)
class FundRow:
    """One offtake of the list.

    Attributes
    ----------
    score : 0..1.
    cost : to the fund; None where it has none.
    gain : as people read it, in ``FundPage.gain_unit``.
    remark : how its offer stands and why it was chosen by hand; "" where neither is the case.
    """

    rank: int
    code: str
    sign: Sign
    score: float
    option: str
    cost: float | None
    gain: str
    remark: str


@dataclass(frozen=True)
class FundPage:
    """All that stands on the page.

    Attributes
    ----------
    way : ``By score`` or ``Best set``.
    how_sure : sentences, the one about the gap first.
    inside, close, left_out : rows above the line; close calls and hand choices below it.
    weights : label and weight in thousandths.
    money : term and amount.
    conditions : sentences, none where there are none.
    committed : how money committed stands beside what is counted; none where none is accepted.
    """

    stamp: Stamp
    way: str
    headline: str
    how_sure: tuple[str, ...]
    ground: Ground
    inside: tuple[FundRow, ...]
    close: tuple[FundRow, ...]
    left_out: tuple[FundRow, ...]
    line_words: str
    weights: tuple[tuple[str, int], ...]
    money: tuple[tuple[str, str], ...]
    conditions: tuple[str, ...]
    note: str
    currency: str
    gain_unit: str
    committed: tuple[str, ...] = ()


def fund_page_html(facts: FundPage) -> str:
    """Give the page as HTML for A4."""
    return page(
        "fund",
        facts.stamp,
        facts=facts,
        drawing=draw_map(facts.ground, WIDTH_MM, MOST_HEIGHT_MM),
        cautions=(cautions.RANKS, cautions.BEST, cautions.APPROVALS),
    )
