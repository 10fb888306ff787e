"""What is another between two cases? Who enters, who leaves and why, what it costs and gains.

All of it is told from what the cases keep, so that it says the same in a year.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from slackwater.desk.case_differences import differences
from slackwater.desk.case_words import percent
from slackwater.desk.data_between import DataBetween
from slackwater.desk.why_moved import WhyMoved
from slackwater.store import Case

Values = Mapping[str, Any]


def compared(one: Case, other: Case, data: DataBetween, currency: str) -> dict[str, Any]:
    """Compare two cases; who enters is inside the other."""
    before, after = ({row["code"]: row for row in case.result["rows"]} for case in (one, other))
    inside = [{code for code, row in rows.items() if row["state"] == "inside"}
              for rows in (before, after)]  # fmt: skip
    found = differences(one, other, data, currency)
    why = WhyMoved(one, other, before, after, data, found.causes)

    def told(rows: dict[str, Values], codes: set[str], because: Callable[[str], str]) -> list[Any]:
        return [
            {
                "code": code,
                "cost": row["cost"],
                "gain_share": row["gain_share"],
                "rank_before": before[code]["rank"] if code in before else None,
                "rank_after": after[code]["rank"] if code in after else None,
                "why": because(code),
            }
            for code, row in rows.items()
            if code in codes
        ]

    return {
        "enters": told(after, inside[1] - inside[0], why.enters),
        "leaves": told(before, inside[0] - inside[1], why.leaves),
        "stays": len(inside[0] & inside[1]),
        "money": _money(one.result, other.result, data, currency),
        "what_changed": list(found.sentences),
    }


def inside_codes(case: Case) -> set[str]:
    """Give the codes that are inside the money of a case."""
    return {row["code"] for row in case.result["rows"] if row["state"] == "inside"}


def _money(before: Values, after: Values, data: DataBetween, currency: str) -> dict[str, Any]:
    """Give what each spends and gains, and in a sentence what the other costs and gains more."""
    names = ("budget", "spent", "inside_count", "benefit_adults", "benefit_share")
    spent = after["spent"] - before["spent"]
    avoids = after["benefit_share"] - before["benefit_share"]
    costs = f"{abs(spent):,.0f} {currency or 'of money'}"
    words = f"It costs {costs} {'more' if spent > 0 else 'less'}" if spent else "It costs as much"
    if not data.same:
        words += "; the two rest on different data, so what they avoid is not of the same loss."
    elif avoids:
        more = "more" if avoids > 0 else "less"
        words += f" and avoids {percent(abs(avoids))} of the loss to pumps {more}."
    else:
        words += " and avoids as much of the loss to pumps."
    return {
        "one": {name: before[name] for name in names},
        "other": {name: after[name] for name in names},
        "spent_more": spent,
        "benefit_share_more": avoids if data.same else None,
        "sentence": words,
    }
