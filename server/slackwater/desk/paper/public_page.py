"""The page of a shared case for whoever has its link: public facts alone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from slackwater.decisions.score import MILLION
from slackwater.desk.case_words import short_money
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.paper.site_facts import SiteFacts
from slackwater.desk.visibility import Viewer
from slackwater.reports.figures import count_of, percent, sentence
from slackwater.reports.public_page import PublicPage, PublicRow, public_page_html
from slackwater.reports.signs import WORDS

AT_MID_REACH = "Offtakes stand side by side at the middle of their reach."
GROUPS = {"inside": 0, "outside": 1}
"""Of the list; what is built or not in this round comes last."""


def print_public_page(
    case: CaseShown, printed_at: datetime, map_address: str, look_address: str
) -> str:
    """Give the page as HTML, for anyone."""
    return public_page_html(public_facts(case, printed_at, map_address, look_address))


def public_facts(
    case: CaseShown, printed_at: datetime, map_address: str, look_address: str
) -> PublicPage:
    """Gather what stands on the page."""
    columns = case.shown.view.offtakes(Viewer.PUBLIC)
    rows = sorted(case.rows, key=lambda row: (GROUPS.get(row.state, len(GROUPS)), row.rank))
    return PublicPage(
        stamp=case.stamp(printed_at, Viewer.PUBLIC),
        way=case.way,
        headline=public_headline(case),
        places_words=AT_MID_REACH,
        ground=ground_shown(case, Viewer.PUBLIC),
        rows=tuple(_row(case, row, columns) for row in rows),
        currency=case.currency,
        map_address=map_address,
        look_address=look_address,
    )


def public_headline(case: CaseShown) -> str:
    """Say what the money buys; the sum spent is made from quotes, so the budget stands for it."""
    unit = f" {case.currency}" if case.currency else ""
    count = count_of(case.result["inside_count"], "offtake")
    return sentence(
        f"{count} inside a budget of {short_money(case.trial['budget'])}{unit}, avoiding "
        f"{percent(case.result['benefit_share'])} of the loss to pumps"
    )


def _row(case: CaseShown, row: CaseRow, columns: Mapping[str, Any]) -> PublicRow:
    """Give what the public may know of one offtake; a column that is closed fails here."""
    return PublicRow(
        rank=row.rank,
        code=row.code,
        sign=row.public_sign,
        state=WORDS[row.public_sign],
        loss=percent(columns["loss_share"][row.position] / MILLION),
        cost_band=SiteFacts(case, row, Viewer.PUBLIC).cost_band_words,
    )
