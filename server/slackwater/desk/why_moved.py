"""Why does an offtake enter the money, or leave it, from one case to the other?

What concerns it alone comes first: a hand choice, its standing, its own data. Else it is moved by
what the trials differ in. Under the list by score that is tried: the order of one case is spent
with the budget of the other, so that what is said to do it would do it alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from slackwater.decisions.by_score import fits
from slackwater.desk.case_words import percent
from slackwater.desk.data_between import DataBetween
from slackwater.desk.trial import Way
from slackwater.store import Case

INSIDE, NOT_IN_ROUND = "inside", "not_in_round"
Values = Mapping[str, Any]
Rows = Mapping[str, Values]


@dataclass(frozen=True)
class WhyMoved:
    """Two cases with their rows by code in order of rank.

    Attributes
    ----------
    causes : what else differs that may move someone, in words that follow "since".
    """

    one: Case
    other: Case
    before: Rows
    after: Rows
    data: DataBetween
    causes: Sequence[str]

    def enters(self, code: str) -> str:
        """Say why it is inside the other case."""
        if code not in self.before:
            return "it is new in the data"
        if self._chosen(self.other, "kept_in", code) and not self._chosen(
            self.one, "kept_in", code
        ):
            return f"kept in by hand: {self.other.trial['kept_in'][code]}"
        if self._chosen(self.one, "left_out", code):
            return self._let_go("left_out", code)
        if self.before[code]["state"] == NOT_IN_ROUND:
            why = f"it could not be funded before: {self.before[code]['why_not']}"
            return self._with_own_data(code, why)
        return self._with_own_data(code, self._moved(code, inside=True))

    def leaves(self, code: str) -> str:
        """Say why it is no longer inside the other case."""
        if code not in self.after:
            return "it is no longer in the data"
        if self._chosen(self.other, "left_out", code):
            return f"left out by hand: {self.other.trial['left_out'][code]}"
        if self.after[code]["state"] == NOT_IN_ROUND:
            return self._with_own_data(code, f"not in this round: {self.after[code]['why_not']}")
        moved = self._moved(code, inside=False)
        if self._chosen(self.one, "kept_in", code):
            moved = f"{self._let_go('kept_in', code)}; {moved}"
        return self._with_own_data(code, moved)

    @staticmethod
    def _chosen(case: Case, choice: str, code: str) -> bool:
        """Whether a hand choice holds: under the best set alone."""
        return case.trial["way"] == Way.BEST.value and code in case.trial[choice]

    def _let_go(self, choice: str, code: str) -> str:
        """Say that a hand choice of the one case does not hold in the other."""
        if code in self.other.trial[choice]:
            return "hand choices do not hold by score"
        return f"no longer {choice.replace('_', ' ')} by hand"

    def _with_own_data(self, code: str, why: str) -> str:
        """Add what changed of its own data, and what that made of its cost."""
        cells = self.data.cells.get(code, ())
        if not cells:
            return why
        costs = [rows[code]["cost"] for rows in (self.before, self.after)]
        told = f"{why}; its data changed: {', '.join(map(str, cells))}"
        if None in costs or costs[0] == costs[1]:
            return told
        return f"{told}; its cost {costs[0]:,.0f} → {costs[1]:,.0f}"

    def _moved(self, code: str, *, inside: bool) -> str:
        """Say what moves an offtake that nothing but money keeps in or out."""
        ways = [Way(case.trial["way"]) for case in (self.one, self.other)]
        if ways == [Way.SCORE, Way.SCORE]:
            return self._by_score(code, inside=inside)
        if ways == [Way.BEST, Way.BEST]:
            return f"the best set {'takes it' if inside else 'does without it'}{self._since}"
        by_score = self.before[code] if ways[0] is Way.SCORE else self.after[code]
        stands = f"by score it has rank {by_score['rank']}"
        worth = f"alone it avoids {percent(by_score['gain_share'])} for {by_score['cost']:,.0f}"
        if by_score["state"] == INSIDE:
            return (
                f"{stands}, which the money reaches; the best set gains more without it ({worth})"
            )
        return f"the best set takes it ({worth}); {stands}, which the money does not reach"

    @property
    def _since(self) -> str:
        if not self.causes:
            return ", though nothing differs: both sets gain as much"
        return f" since {'; and '.join(self.causes)}"

    @cached_property
    def _with_the_budget(self) -> set[str]:
        """Who is inside where the budget alone is the other."""
        return inside_of(self.before, self.other.trial["budget"])

    @cached_property
    def _with_the_weights(self) -> set[str]:
        """Who is inside where the weights alone are the other."""
        return inside_of(self.after, self.one.trial["budget"])

    def _by_score(self, code: str, *, inside: bool) -> str:
        """Say whether budget or weights move it, each tried without the other."""
        ranks = self.before[code]["rank"], self.after[code]["rank"]
        stands = f"rank {ranks[0]} → {ranks[1]}" if ranks[0] != ranks[1] else f"rank {ranks[0]}"
        if not self.data.same or self.one.model_version != self.other.model_version:
            reached = "reaches it" if inside else "no longer reaches it"
            return f"the money {reached} ({stands}){self._since}"
        budgets = self.one.trial["budget"], self.other.trial["budget"]
        by_budget = (code in self._with_the_budget) == inside
        by_weights = (code in self._with_the_weights) == inside
        if by_budget and by_weights:
            return f"the weights alone would do it, and so would the budget ({stands})"
        if by_weights:
            return _of_weights(stands, ranks, inside=inside)
        if by_budget:
            return _of_budget(stands, larger=budgets[1] > budgets[0], inside=inside)
        return f"weights and budget do it together, neither alone ({stands})"


def inside_of(rows: Rows, budget: float) -> set[str]:
    """Spend a budget down a list: committed ones first, then each in turn whose cost fits."""
    inside = {code for code, row in rows.items() if row["committed"]}
    spent = sum(row["cost"] for row in rows.values() if row["committed"])
    for code, row in rows.items():
        if (
            code not in inside
            and row["state"] != NOT_IN_ROUND
            and fits(spent + row["cost"], budget)
        ):
            inside.add(code)
            spent += row["cost"]
    return inside


def _of_weights(stands: str, ranks: tuple[int, int], *, inside: bool) -> str:
    if ranks[0] == ranks[1] or (ranks[1] < ranks[0]) != inside:
        cost = "less, so that its cost fits" if inside else "more, so that its cost no longer fits"
        return f"under the moved weights those before it cost {cost} ({stands})"
    way = "up to where the money reaches" if inside else "down to where the money does not reach"
    return f"the moved weights bring it {way} ({stands})"


def _of_budget(stands: str, *, larger: bool, inside: bool) -> str:
    if larger and inside:
        return f"the larger budget reaches it ({stands})"
    if not larger and not inside:
        return f"the smaller budget no longer reaches it ({stands})"
    if inside:
        return f"a dearer one before it no longer fits the smaller budget, so it does ({stands})"
    return f"a dearer one before it fits the larger budget, so it no longer does ({stands})"
