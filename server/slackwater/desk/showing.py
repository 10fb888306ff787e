"""What does the service show just now? One edition of a catchment, and the sets found for it.

A catchment read from a file is shown as it was read. One that is worked on is shown as it was when
it was last worked out, and a case as the data stood when it was saved.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Protocol

from slackwater.desk.catchment_facts import edition_facts
from slackwater.desk.cell_grounds import GroundsOf
from slackwater.desk.funding_desk import FundingDesk
from slackwater.desk.map_view import MapView, open_map_view
from slackwater.desk.visibility import Viewer
from slackwater.desk.visits.visit_desk import VisitDesk
from slackwater.errors import NotHere


@dataclass(frozen=True)
class Shown:
    """One edition: what the map shows, and what is asked about its money.

    Attributes
    ----------
    working : whether it comes from a database that is worked on.
    revision : of that database, for the present edition; None for what stood at a case's saving.
    grounds : says how cells came about that were edited; None where nothing is edited.
    """

    view: MapView
    working: bool = False
    revision: int | None = None
    grounds: GroundsOf | None = None

    def why(self, row: int, viewer: Viewer) -> dict[str, Any]:
        """Why an offtake stands where it stands, its inputs with how each came about."""
        return self.view.why(row, viewer, self.grounds)

    @cached_property
    def funding(self) -> FundingDesk:
        """The desk that finds sets for this edition; it learns from each question."""
        return FundingDesk(self.view.evaluation)

    @cached_property
    def visits(self) -> VisitDesk:
        """The desk that plans field days for this edition."""
        return VisitDesk(self.view.evaluation, self.funding)

    def facts(self, viewer: Viewer, case: str = "") -> dict[str, Any]:
        """Give what there is to know of the whole, and which edition this is.

        Parameters
        ----------
        case : id of the case it is looked at through, "" for none.
        """
        revision = None if case else self.revision  # a case's data is no revision's, but its own
        told = edition_facts(self.view.edition, revision, case, working=self.working)
        return {**self.view.facts(viewer), **told}


class Showing(Protocol):
    """Whoever knows which edition is to be shown."""

    def of(self, case: str = "") -> Shown:
        """Give the present edition, or the one a case was saved on.

        Raises
        ------
        NotHere
            Where there is no such case.
        """


@dataclass(frozen=True)
class AsRead:
    """A catchment as it was read from a file; nothing changes it and it has no cases."""

    view: MapView

    @cached_property
    def _shown(self) -> Shown:
        return Shown(self.view)

    def of(self, case: str = "") -> Shown:
        """Give the one edition there is."""
        if case:
            raise NotHere("there are no cases here: this catchment is read from a file")
        return self._shown


def show_file(path: Path) -> AsRead:
    """Read a folder, GeoPackage or workbook and work it out, ready to be shown.

    Raises
    ------
    UsageError
        Where there is no catchment at the path.
    InputFaults
        Where its data is at fault; every fault is listed.
    """
    return AsRead(open_map_view(path))
