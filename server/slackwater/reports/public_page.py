"""The page of a case that anyone may see: what the money buys, where, and in which order."""

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
class PublicRow:
    """One offtake of the list.

    Attributes
    ----------
    state : in or out of this round, in words; never why.
    loss : share of the loss to pumps, as people read it.
    cost_band : from and to, "" where there is none to tell.
    """

    rank: int
    code: str
    sign: Sign
    state: str
    loss: str
    cost_band: str


@dataclass(frozen=True)
class PublicPage:
    """All that stands on the page.

    Attributes
    ----------
    places_words : where the signs on the map stand.
    map_address : of the map as a file, to be saved.
    """

    stamp: Stamp
    way: str
    headline: str
    places_words: str
    ground: Ground
    rows: tuple[PublicRow, ...]
    currency: str
    map_address: str
    look_address: str


def public_page_html(facts: PublicPage) -> str:
    """Give the page as HTML without any script; it prints on A4 as well."""
    return page(
        "public",
        facts.stamp,
        facts=facts,
        drawing=draw_map(facts.ground, WIDTH_MM, MOST_HEIGHT_MM),
        cautions=(cautions.RANKS, cautions.WORK, cautions.SUCTION, cautions.APPROVALS),
    )
