"""When does a landholder get the money back? The range that the inputs leave, and no more."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.desk.evaluation import Evaluation
from slackwater.screens.landholder import LandholderSide, landholder_side


@dataclass(frozen=True)
class Payback:
    """The landholder's money over its range; None where it cannot be told.

    Attributes
    ----------
    likely : the side at the cost as estimated or quoted.
    pays_once, upkeep_per_year : least and most.
    saving_per_year : with half the stated cut of filter work, and with all of it.
    best_years, worst_years : None where the saving does not pass the upkeep.
    """

    likely: LandholderSide
    pays_once: tuple[float, float]
    upkeep_per_year: tuple[float, float]
    saving_per_year: tuple[float, float] | None
    best_years: float | None
    worst_years: float | None

    @property
    def missing(self) -> tuple[str, ...]:
        """Inputs that are empty, as ``table.column``."""
        return self.likely.missing


def payback(evaluation: Evaluation, offtake: int, option: int) -> Payback:
    """Work out the range: the cheapest screen with all its savings to the dearest with half."""
    costs, catchment = evaluation.costs, evaluation.catchment
    share = float(catchment.table("options").number("upkeep_share_year")[option])
    low, likely, high = (
        landholder_side(catchment, offtake, option, capital, capital * share)
        for capital in (
            float(money[offtake, option])
            for money in (costs.capital_low, costs.capital, costs.capital_high)
        )
    )
    if likely.saving_per_year is None or likely.saving_per_year_low is None:
        savings = None
    else:
        savings = (likely.saving_per_year_low, likely.saving_per_year)
    return Payback(
        likely=likely,
        pays_once=(low.pays_once, high.pays_once),
        upkeep_per_year=(low.upkeep_per_year, high.upkeep_per_year),
        saving_per_year=savings,
        best_years=low.payback_years,
        worst_years=_years(high.pays_once, savings, high.upkeep_per_year),
    )


def _years(pays_once: float, savings: tuple[float, float] | None, upkeep: float) -> float | None:
    """Years until half the cut of filter work has paid it back; None where it never does."""
    net = savings[0] - upkeep if savings else 0.0
    return pays_once / net if net > 0 else None
