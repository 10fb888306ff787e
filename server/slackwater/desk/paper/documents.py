"""Every document of a saved case, by the name under which it is asked for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime

from slackwater.desk.offers import committed_sums
from slackwater.desk.paper.agency_page import print_agency_page
from slackwater.desk.paper.board_brief import print_board_brief
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.fund_page import print_fund_page
from slackwater.desk.paper.landholder_brief import print_landholder_brief
from slackwater.desk.paper.public_page import print_public_page
from slackwater.desk.paper.result_workbook import result_workbook
from slackwater.desk.visibility import Viewer
from slackwater.desk.working import Working
from slackwater.reports.printing import look

LONGEST_NAME = 60


@dataclass(frozen=True)
class Documents:
    """What can be printed or taken away of one case, as things stand at ``now``."""

    case: CaseShown
    now: datetime

    def fund_page(self, viewer: Viewer = Viewer.LEAD) -> str:
        """Give the printed fund page, HTML: the lead's own, or the agency's."""
        if viewer is Viewer.LEAD:
            return print_fund_page(self.case, self.now)
        return print_agency_page(self.case, self.now)

    def public_page(self, map_address: str, look_address: str) -> str:
        """Give the page that anyone may see, HTML."""
        return print_public_page(self.case, self.now, map_address, look_address)

    def board_brief(self) -> str:
        """Give the brief for the board, HTML."""
        return print_board_brief(self.case, self.now)

    def landholder_brief(self, code: str, viewer: Viewer) -> str:
        """Give the brief for one landholder, HTML.

        Raises
        ------
        NotHere
            Where there is no such offtake.
        """
        return print_landholder_brief(self.case, code, viewer, self.now)

    def workbook(self) -> bytes:
        """Give the result workbook."""
        return result_workbook(self.case, self.now)

    def map_file(self, viewer: Viewer) -> bytes:
        """Give the stand-alone map, HTML."""
        # the library that makes it takes a second to load, and a service may never need it
        from slackwater.desk.paper.map_file import stand_alone_map  # noqa: PLC0415

        return stand_alone_map(self.case, viewer, self.now)

    def file_name(self, ending: str) -> str:
        """Give a name that is safe on every disk and in every header."""
        names = f"{self.case.evaluation.catchment.name} {self.case.case['name']}".lower()
        safe = "-".join(re.findall(r"[a-z0-9]+", names))[:LONGEST_NAME].strip("-")
        return f"{safe or 'case'}.{ending}"


def documents_of(working: Working, case_id: str) -> Documents:
    """Give the documents of a saved case.

    Raises
    ------
    NotHere
        Where there is no such case.
    """
    case = CaseShown(working.case(case_id), working.of(case_id), committed_sums(working.register))
    return Documents(case, datetime.now(UTC))


def paper_look() -> str:
    """Give the style sheet of every printed page."""
    return look()
