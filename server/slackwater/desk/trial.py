"""What is tried, as a case keeps it: weights, budget, hand choices, conditions, and what is shown.

The same as the page's own trial (``web/src/core/trial.ts``): weights are whole thousandths, and
hand choices and conditions hold for the best set alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import round_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.written import MOST_OF_REASON, one_line
from slackwater.desk.year_views import YearView
from slackwater.errors import UsageError

WHOLE = 1000
ALL_GUILDS = "all"
UNITS = ("ML/d", "L/s", "m3/s", "cfs")


class Way(StrEnum):
    """The two ways to spend a budget."""

    SCORE = "score"
    BEST = "best"


@dataclass(frozen=True)
class Trial:
    """One trial.

    Attributes
    ----------
    weights : whole thousandths by criterion, summing to 1000.
    budget : money.
    kept_in, left_out : code -> the written reason.
    district_least, district_most : district -> share of the budget.
    together : groups of codes, each all in or all out.
    unit, year, guild, selected : what is shown; they move neither list nor set.
    """

    weights: Mapping[str, int]
    budget: float
    way: Way
    kept_in: Mapping[str, str] = field(default_factory=dict)
    left_out: Mapping[str, str] = field(default_factory=dict)
    district_least: Mapping[str, float] = field(default_factory=dict)
    district_most: Mapping[str, float] = field(default_factory=dict)
    most_installs: int | None = None
    together: tuple[tuple[str, ...], ...] = ()
    unit: str = UNITS[0]
    year: YearView = YearView.MEAN
    guild: str = ALL_GUILDS
    selected: str = ""

    @property
    def conditions(self) -> Conditions:
        """What the best set is spent under."""
        return Conditions(
            kept_in=self.kept_in,
            left_out=self.left_out,
            district_least=self.district_least,
            district_most=self.district_most,
            most_installs=self.most_installs,
            together=tuple(tuple(group) for group in self.together),
        )

    def as_dict(self) -> dict[str, Any]:
        """Give plain JSON values, as the wire has them."""
        return {
            "weights": dict(self.weights),
            "budget": self.budget,
            "way": self.way.value,
            "kept_in": dict(self.kept_in),
            "left_out": dict(self.left_out),
            "district_least": dict(self.district_least),
            "district_most": dict(self.district_most),
            "most_installs": self.most_installs,
            "together": [list(group) for group in self.together],
            "unit": self.unit,
            "year": self.year.value,
            "guild": self.guild,
            "selected": self.selected,
        }


def trial_of(values: Mapping[str, Any]) -> Trial:
    """Read a trial from plain values as `Trial.as_dict` gives them; types are right already."""
    return Trial(
        **{
            **values,
            "way": Way(values["way"]),
            "year": YearView(values["year"]),
            "together": tuple(tuple(group) for group in values["together"]),
        }
    )


def tidied(trial: Trial) -> Trial:
    """Give the trial with its reasons as they are kept.

    Raises
    ------
    UsageError
        Where a reason cannot be kept; an empty one is told by `checked`.
    """
    return replace(trial, kept_in=_reasons(trial.kept_in), left_out=_reasons(trial.left_out))


def checked(trial: Trial, evaluation: Evaluation) -> Trial:
    """Give a trial that was tidied as it can be worked out: weights in the order of the criteria.

    Raises
    ------
    UsageError
        Where it names what is not there, weights are no thousandths, a budget is no amount, or a
        hand choice has no reason or cannot be made.
    """
    catchment = evaluation.catchment
    if trial.unit not in UNITS:
        raise UsageError(f"there is no unit {trial.unit!r}; it is one of {', '.join(UNITS)}")
    if trial.guild != ALL_GUILDS and trial.guild not in catchment.table("guilds").index:
        raise UsageError(f"there is no guild {trial.guild!r} here")
    if trial.selected and trial.selected not in catchment.table("offtakes").index:
        raise UsageError(f"no offtake {trial.selected!r} to select")
    found = replace(trial, weights=_weights(trial.weights, evaluation.ranking.criteria))
    round_of(evaluation, found.budget, found.conditions).choices()
    return found


def _weights(weights: Mapping[str, int], criteria: Sequence[str]) -> dict[str, int]:
    strange = [name for name in weights if name not in criteria]
    if strange:
        raise UsageError(f"there is no criterion {strange[0]!r}; they are {', '.join(criteria)}")
    missing = [name for name in criteria if name not in weights]
    if missing:
        raise UsageError(f"no weight is given for {missing[0]!r}; 0 counts it out")
    for name, weight in weights.items():
        if not 0 <= weight <= WHOLE:
            raise UsageError(f"{name}: a weight is a whole number of thousandths, not {weight}")
    if sum(weights.values()) != WHOLE:
        raise UsageError(f"weights sum to {sum(weights.values())} thousandths, not to {WHOLE}")
    return {name: weights[name] for name in criteria}


def _reasons(reasons: Mapping[str, str]) -> dict[str, str]:
    return {
        code: one_line(reason, f"{code}: the reason of a hand choice", most=MOST_OF_REASON)
        for code, reason in reasons.items()
    }
