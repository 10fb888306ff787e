"""Why is a site not in a run? Nothing to be seen there matters, it is too far, or worth too little.

Plain words for a field officer. A figure made from a site's quote is the lead's alone, so such a
site is told without one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.decisions.entry import bound_by
from slackwater.decisions.rules import Round
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visits.asked import hours
from slackwater.desk.visits.site_worth import SiteWorth
from slackwater.visits.routes import OneMore


@dataclass(frozen=True)
class Reasons:
    """Says why sites are left out of a run."""

    evaluation: Evaluation
    round_: Round
    worth: SiteWorth
    picks: Mapping[int, int]

    def nothing_to_learn(self, row: int) -> str:
        """Say why nothing that can be seen at a site could change the choice."""
        bound = bound_by(self.round_, row)
        if bound:
            return f"{bound}: nothing seen there could change the set"
        if not self.worth.open[row]:
            return "no screen that could go there gains anything"
        inside = row in self.picks
        words = f"{'inside' if inside else 'outside'} the set whatever is found there"
        ratio = float((self.worth.pays_least if inside else self.worth.pays_most)[row])
        if self.evaluation.costs.quoted[row].any() or (ratio > 1) is not inside:
            return words
        end = "worst" if inside else "best"
        return f"{words}: at its {end} it gains {ratio:.2g} times what the budget line asks"

    def skipped(self, row: int, more: OneMore, *, too_far_s: int) -> str:
        """Say why a site that could change the choice is left out all the same.

        Parameters
        ----------
        too_far_s : seconds by which it alone is too far for the longest day; 0 where it is not.
        """
        if too_far_s > 0:
            return f"too far: alone it takes {hours(too_far_s / 60)} more than the longest day"
        share = self.worth.shares_millionths[row] / 1e6
        worth = f"{share:.0%}" if share >= 0.01 else "under 1 %"
        return (
            f"{hours(more.more_s / 60)} more on day {more.day + 1}, which lacks "
            f"{hours(more.short_s / 60)}, for {worth.replace('%', ' %').replace('  ', ' ')} of the "
            "worth of the best site"
        )
