"""The small catchment full of secrets as a case, and what of it is closed to the public."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.catchment.fields import Visibility
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.showing import Shown
from tests.contracts.seeded import Secrets, numbers_from, seeded_small, unlike, view_of
from tests.reports.cases import case_of


@dataclass(frozen=True)
class SeededCase:
    """A case on data full of secrets, and what the public may not be told."""

    case: CaseShown
    closed: Secrets

    def told_by(self, text: str) -> list[str]:
        """Give every closed text and number that a text tells."""
        texts = [each for each in self.closed.texts if each in text]
        return [*texts, *map(str, sorted(self.closed.found_in(text)))]


def seeded_case(way: str = "score", **changed: object) -> SeededCase:
    """Give a case in which both that may be funded are inside; B by its quote."""
    of, planted = seeded_small()
    view = view_of(of)
    private, agency = planted[Visibility.PRIVATE], planted[Visibility.AGENCY]
    made = numbers_from(view)
    closed = Secrets(
        private.texts + agency.texts,
        private.numbers + agency.numbers + [n for of in made.values() for n in unlike(of)],
        private.flows + agency.flows,
        private.places,
        private.columns + agency.columns,
    )
    case = case_of(Shown(view), 1_000_000.0, way, name="Round 2027", **changed)
    spent = case.result["spent"]
    closed.numbers.extend(unlike([spent, 1_000_000.0 - spent]))
    return SeededCase(case, closed)
