"""Which offtakes do the minutes name, and what may everyone know of each?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from slackwater.decisions.score import MILLION
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import reach_name
from slackwater.desk.paper.site_facts import SiteFacts
from slackwater.desk.visibility import Viewer

Values = dict[str, Any]


@dataclass(frozen=True)
class Sites:
    """The offtakes of a set, and how the weightings tried stand to them.

    Ranks and order are those of the case that everyone was shown, also where a trial was agreed:
    under weights on cost alone its own order would tell that of quotes.

    Attributes
    ----------
    case : the shared case the meeting rested on.
    held : the set that was agreed, or the case where nothing was.
    room : what the weightings have in common; None where it is not told.
    """

    case: CaseShown
    held: CaseShown
    room: Mapping[str, Any] | None
    tried: int

    def codes_inside(self, of: CaseShown) -> list[str]:
        """Give codes of a set in the case's order of rank."""
        inside = {row.code for row in of.rows if row.inside}
        return [row.code for row in self.case.rows if row.code in inside]

    def inside(self) -> list[Values]:
        """Give the set's offtakes."""
        return [self._site(code) for code in self.codes_inside(self.held)]

    def of_room(self) -> Values:
        """Give what stays and what turns on opinion, in the room's own order."""
        room = self.room or {}
        return {
            "stays": [self._site(code) for code in room["stays"]],
            "turns": [self._site(each["code"]) for each in room["turns"]],
            "few": room["few"],
            "inside": room["inside_count"],
        }

    def skipped(self) -> str:
        """Say what the ranks are that the set's list has not: "" none, "round" all built or not in
        this round, "outside" some of them outside the set.
        """
        inside = {row.code for row in self.held.rows if row.inside}
        last = max((self._ranks[code] for code in inside), default=0)
        missing = [row for row in self.case.rows if row.rank < last and row.code not in inside]
        if not missing:
            return ""
        return "round" if all(row.state == "not_in_round" for row in missing) else "outside"

    @cached_property
    def _ranks(self) -> dict[str, int]:
        return {row.code: row.rank for row in self.case.rows}

    @cached_property
    def _rows(self) -> dict[str, CaseRow]:
        return {row.code: row for row in self.held.rows}

    @cached_property
    def _turns(self) -> dict[str, Mapping[str, Any]]:
        return {each["code"]: each for each in (self.room or {}).get("turns", ())}

    @cached_property
    def _labels(self) -> dict[str, str]:
        return {each["name"]: each["label"] for each in (self.room or {}).get("weights", ())}

    @cached_property
    def _loss(self) -> list[int]:
        """(offtakes,) share of the loss to all pumps in millionths, as the public may know it."""
        columns: list[int] = self.held.shown.view.offtakes(Viewer.PUBLIC)["loss_share"]
        return columns

    def _site(self, code: str) -> Values:
        """Give what the public may know of one offtake; a column that is closed fails here."""
        row, turn = self._rows[code], self._turns.get(code, {})
        band = SiteFacts(self.held, row, Viewer.PUBLIC).cost_band
        return {
            "code": code,
            "rank": self._ranks[code],
            "sign": row.public_sign.value,
            "reach": reach_name(self.held.evaluation, row.position, Viewer.PUBLIC),
            "loss_share": self._loss[row.position] / MILLION,
            "band": list(band) if band else None,
            "under": self._under(code),
            "on": self._labels.get(turn.get("on", ""), ""),
            "more": bool(turn.get("more", False)),
        }

    def _under(self, code: str) -> int | None:
        """Give under how many of the weightings tried an offtake is inside; None where that is not
        told, as one or two phones could be told apart by it.
        """
        if self.room is None:
            return None
        if code in self.room["stays"]:
            return self.tried
        count: int | None = self._turns.get(code, {}).get("count")
        return count
