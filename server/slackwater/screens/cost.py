"""What does a screen cost to buy, fit and keep, over one horizon for all?

Section 8 of the methods page.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.screens.sizing import Sizing

Numbers = NDArray[np.float64]

CLASS_5_LOW, CLASS_5_HIGH = 0.5, 2.0
"""Range of a cost without one of its own. Source: AACE 18R-97, estimate class 5 (-50 / +100 %)."""
OTHER_RATES = (0.03, 0.10)
"""Discount rates shown beside the chosen one. Source: NSW TPP17-03 (from memory)."""

SHARES = ("design", "contingency")


@dataclass(frozen=True)
class Costs:
    """Money for each option at each offtake, (offtakes, options); infeasible ones are priced too.

    Attributes
    ----------
    capital, upkeep_per_year, life_cycle : money.
    capital_low, capital_high : item by item; a quote has no range.
    life_cycle_at : discount rate -> life-cycle cost, for the rates shown beside.
    life_cycle_low, life_cycle_high : of the low and high capital, at the chosen rate.
    quoted : (offtakes, options) bool, the capital is a quote.
    mobilisation : (offtakes, options) what of the capital is coming to the place; 0 in a quote.
    """

    capital: Numbers
    upkeep_per_year: Numbers
    life_cycle: Numbers
    capital_low: Numbers
    capital_high: Numbers
    life_cycle_at: dict[float, Numbers]
    life_cycle_low: Numbers
    life_cycle_high: Numbers
    quoted: NDArray[np.bool_]
    mobilisation: Numbers


def annuity_factor(years: Numbers | float, rate: float) -> Numbers:
    """Present worth of 1 a year for ``years`` years, ``(1 - (1+r)**-x) / r``; ``x`` at rate 0."""
    span = np.asarray(years, np.float64)
    return span if rate == 0 else -np.expm1(-span * np.log1p(rate)) / rate


def life_cycle_cost(
    capital: Numbers, upkeep: Numbers, life_years: Numbers, horizon_years: float, rate: float
) -> Numbers:
    """``(capital / a(life) + upkeep) a(horizon)``: one horizon for all lives."""
    return (capital / annuity_factor(life_years, rate) + upkeep) * annuity_factor(
        horizon_years, rate
    )


def price_list(catchment: Catchment, which: str) -> Callable[..., float]:
    """Give a look-up of prices by item and kind; absent is 0.

    ``which`` is ``amount``, ``low`` or ``high``; where the range has no such end the estimate
    class's stands in, and shares (design, contingency) stay as they are.
    """
    prices = catchment.table("prices")
    found: dict[tuple[str, str], float] = {}
    for item, kind, amount, own in zip(
        prices.text("item"),
        prices.text("kind"),
        prices.number("amount"),
        prices.number(which),
        strict=True,
    ):
        spread = 1.0 if item in SHARES else _class_5(which)
        found[item, kind] = float(amount * spread if np.isnan(own) else own)

    def price(item: str, kind: str = "") -> float:
        return found.get((item, kind), 0.0)

    return price


def _class_5(which: str) -> float:
    return {"amount": 1.0, "low": CLASS_5_LOW, "high": CLASS_5_HIGH}[which]


def _estimate(catchment: Catchment, sizing: Sizing, which: str) -> Numbers:
    """(offtakes, options) capital from the price list, before any quote."""
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    price = price_list(catchment, which)
    unit = options.number("unit_price")
    if which != "amount":
        own = options.number(f"unit_price_{which}")
        unit = np.where(np.isnan(own), unit * _class_5(which), own)
    site = np.array(
        [
            price("mount", str(kind)) + price("access", str(access)) + price("mobilisation")
            for kind, access in zip(offtakes.text("kind"), offtakes.text("access"), strict=True)
        ],
        np.float64,
    )
    bought = sizing.units * unit + site[:, None] + sizing.brings_power * price("power")
    return bought * _extras(price)


def _extras(price: Callable[..., float]) -> float:
    """Give what design and contingency make of 1."""
    return (1 + price("design")) * (1 + price("contingency"))


def price_screens(catchment: Catchment, sizing: Sizing) -> Costs:
    """Price every option at every offtake."""
    offtakes, options, settings = (
        catchment.table("offtakes"),
        catchment.table("options"),
        catchment.settings,
    )
    quote = offtakes.number("quote")[:, None]
    quoted = ~np.isnan(quote) & (
        offtakes.text("quote_option")[:, None] == options.text("option_id")[None, :]
    )
    low, capital, high = (
        np.where(quoted, quote, _estimate(catchment, sizing, which))
        for which in ("low", "amount", "high")
    )
    price = price_list(catchment, "amount")
    mobilisation = price("mobilisation") * _extras(price)
    upkeep_share = options.number("upkeep_share_year")
    life_years = options.number("life_years")

    def over_life(money: Numbers, rate: float) -> Numbers:
        return life_cycle_cost(
            money, money * upkeep_share, life_years, settings.horizon_years, rate
        )

    return Costs(
        capital=capital,
        upkeep_per_year=capital * upkeep_share,
        life_cycle=over_life(capital, settings.discount_rate),
        capital_low=low,
        capital_high=high,
        life_cycle_at={rate: over_life(capital, rate) for rate in OTHER_RATES},
        life_cycle_low=over_life(low, settings.discount_rate),
        life_cycle_high=over_life(high, settings.discount_rate),
        quoted=quoted,
        mobilisation=np.where(quoted, 0.0, mobilisation),
    )
