"""The stand-alone map of a case: public facts alone, or the lead's own version."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from slackwater.decisions.score import MILLION
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import Facts, ground_shown, reach_name
from slackwater.desk.paper.public_page import AT_MID_REACH, public_headline
from slackwater.desk.paper.site_facts import KINDS, SiteFacts
from slackwater.desk.visibility import Viewer
from slackwater.reports.figures import money, percent, whole_money
from slackwater.reports.map_file import MapFile, map_file


def stand_alone_map(case: CaseShown, viewer: Viewer, printed_at: datetime) -> bytes:
    """Give the map as one HTML file."""
    public = viewer is Viewer.PUBLIC
    columns = case.shown.view.offtakes(viewer)
    facts = {row.code: _facts(case, row, columns, viewer) for row in case.rows}
    places = f" {AT_MID_REACH}" if public else ""
    return map_file(
        MapFile(
            stamp=case.stamp(printed_at, viewer),
            title=f"{case.case['name']}, {case.evaluation.catchment.name}",
            headline=public_headline(case) if public else case.headline,
            way=f"{case.way}.{places}",
            ground=ground_shown(case, viewer, facts),
        )
    )


def _facts(case: CaseShown, row: CaseRow, columns: Mapping[str, Any], viewer: Viewer) -> Facts:
    """Give what opens with an offtake: of the columns the viewer may see, and of the case."""
    site, at = SiteFacts(case, row, viewer), row.position
    band = site.cost_band
    terms = [
        ("name", columns["label"][at]),
        ("kind", KINDS.get(columns["kind"][at], "")),
        ("river", reach_name(case.evaluation, at, viewer)),
        ("district", columns["district"][at]),
        ("rank", f"{row.rank:,} of {len(case.rows):,}"),
        # in full it would tell what its hidden part is
        ("score", f"{row.score:.3f}" if viewer is Viewer.LEAD else f"{row.score:.2f}"),
        ("loss", f"{percent(columns['loss_share'][at] / MILLION)} of the loss to pumps"),
        ("screen", site.option_name),
        ("its cost", f"{money(band[0])} to {money(band[1], case.currency)}" if band else ""),
        *(_private(case, row) if viewer is Viewer.LEAD else ()),
    ]
    return tuple((term, str(value)) for term, value in terms if value)


def _private(case: CaseShown, row: CaseRow) -> Facts:
    """Give what the lead alone may know."""
    holder = case.evaluation.catchment.table("offtakes").text("landholder")[row.position]
    return (
        ("cost to the fund", "" if row.cost is None else whole_money(row.cost, case.currency)),
        ("landholder", str(holder)),
        ("why not in this round", row.why_not if row.state == "not_in_round" else ""),
        ("by hand, because", row.reason),
    )
