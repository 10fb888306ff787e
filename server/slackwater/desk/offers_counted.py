"""What does the list count for an offer, beside the money committed to it?

Committed money is a ledger of its own: a sum that somebody promised. The list and the best set
spend what the data gives, at the screen of the quote; without a quoted screen each way to spend
gives an accepted offtake the screen that serves it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from slackwater.decisions.options import NONE
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.fund_columns import by_score_options
from slackwater.desk.funding import sites_of
from slackwater.desk.offer_rules import Offer, Step

UNQUOTED = (
    "No screen is quoted, so none is held: by score it is counted with {screen}, and the best set "
    "may give it another. Write down which screen was quoted to hold both to it."
)


@dataclass(frozen=True)
class Counted:
    """What an offtake counts for in the list.

    Attributes
    ----------
    cost : to the fund, by score.
    screen_note : where no quote holds it to a screen; "" where one does.
    """

    cost: float
    screen_note: str


def counted_in(evaluation: Evaluation) -> dict[str, Counted]:
    """Give code -> what it counts for, of every offtake that can be paid for."""
    sites = sites_of(evaluation)
    names = evaluation.catchment.table("options").text("name").tolist()
    return {
        site.offtake_id: Counted(
            site.cost[option],
            UNQUOTED.format(screen=names[option]) if site.quote_option == NONE else "",
        )
        for site, option in zip(sites, by_score_options(evaluation, sites).tolist(), strict=True)
        if option != NONE
    }


def totals_of(offers: Iterable[Offer], counted: Mapping[str, Counted]) -> dict[str, float | int]:
    """Sum up the accepted offers: committed and counted where both are known, and how many not."""
    pairs = [
        (offer.committed, counted.get(offer.code))
        for offer in offers
        if offer.status == Step.ACCEPTED
    ]
    both = [(sum_, of.cost) for sum_, of in pairs if sum_ is not None and of is not None]
    return {
        "accepted_committed": sum(sum_ for sum_, _ in both),
        "accepted_counted": sum(cost for _, cost in both),
        "accepted_unmatched": len(pairs) - len(both),
    }
