"""How do offers stand beside what a case counts? Money committed is a ledger of its own."""

from __future__ import annotations

from collections.abc import Sequence

from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.reports.figures import count_of, long_date, whole_money

SAID = {"offered": "Offered", "accepted": "Accepted"}
"""Status -> word, of those whose offer is under way; what is built or declined is no question."""


def offer_said(row: CaseRow) -> str:
    """Say "Offered", or "Accepted: 52,000 committed, 48,000 counted: 4,000 above."; else ""."""
    word = SAID.get(row.status, "")
    if not word or not row.inside or row.committed is None or row.cost is None:
        return f"{word}." if word else ""
    return f"{word}: {beside_counted(row.committed, row.cost)}."


def beside_counted(committed: float, counted: float) -> str:
    """Say how far a committed sum stands from the cost that is counted."""
    both = f"{whole_money(committed)} committed, {whole_money(counted)} counted"
    apart = round(committed - counted)
    if not apart:
        return f"{both}: the same"
    return f"{both}: {whole_money(abs(apart))} {'above' if apart > 0 else 'below'}"


def ledger_said(case: CaseShown, printed_on: str) -> tuple[str, ...]:
    """Sum up the accepted offtakes inside; nothing where there is none.

    Committed sums are those written down by the day of printing: they are no part of the case.
    """
    accepted = [row for row in case.rows if row.inside and row.status == "accepted"]
    known = [row for row in accepted if row.committed is not None]
    if not accepted:
        return ()
    told = _sums(known, case.currency, printed_on)
    unsaid = len(accepted) - len(known)
    if unsaid:
        cost = whole_money(
            sum(row.cost or 0.0 for row in accepted if row.committed is None), case.currency
        )
        told.append(
            f"For {count_of(unsaid, 'accepted offtake')} no committed sum is written down; "
            f"{cost} is counted."
        )
    return (" ".join(told),)


def _sums(known: Sequence[CaseRow], currency: str, printed_on: str) -> list[str]:
    if not known:
        return []
    committed, counted = (
        sum(row.committed or 0.0 for row in known), sum(row.cost or 0.0 for row in known),
    )  # fmt: skip
    of = f", in {currency}" if currency else ""
    return [
        f"By {long_date(printed_on)}, for {count_of(len(known), 'accepted offtake')} inside{of}: "
        f"{beside_counted(committed, counted)}. The budget is spent on what is counted."
    ]
