"""Which screens can stand at an offtake, what they cost, and which serves it best: the model page,
section 8.
"""

from __future__ import annotations

from math import ceil

from .seasons import River
from .tables import Catchment, Offtake, Option

ONE_PART_IN_A_BILLION = 1e-9


def approach_velocity_ms(option: Option, catchment: Catchment) -> float:
    """The model page, section 8: the lesser of the option's and the criteria set's (passive without
    cleaning).
    """
    criteria = catchment.settings.criteria
    limit = (
        criteria.approach_velocity_passive_ms
        if option.cleaning == "none"
        else criteria.approach_velocity_ms
    )
    return option.approach_velocity_ms if limit is None else min(option.approach_velocity_ms, limit)


def units_needed(offtake: Offtake, option: Option, catchment: Catchment) -> int:
    """The model page, section 8: whole units for the capacity at the approach velocity."""
    area_m2 = offtake.capacity_m3s / approach_velocity_ms(option, catchment)
    return max(1, ceil(area_m2 / option.unit_area_m2 - 1e-9))


def is_feasible(offtake: Offtake, option: Option, river: River) -> bool:
    """The model page, section 8: kind, opening, depth, power, life, and not
    what is fitted already.
    """
    catchment = river.catchment
    criteria = catchment.settings.criteria
    if option.kinds and offtake.kind not in option.kinds:
        return False
    if criteria.max_opening_mm is not None and option.opening_mm > criteria.max_opening_mm:
        return False
    depth_m = offtake.intake_depth_m
    if depth_m is None:
        depth_m = catchment.reaches[river.network.reach_of[offtake.offtake_id]].depth_m
    if depth_m is not None and depth_m < option.min_depth_m:
        return False
    if option.needs_power and offtake.power == "no" and ("power", "") not in catchment.prices:
        return False
    if option.life_years < criteria.least_life_years:
        return False
    return option.option_id != offtake.fitted


def feasible_options(offtake: Offtake, river: River) -> list[Option]:
    """The model page, section 8: in order of id."""
    options = river.catchment.options
    return [options[o] for o in sorted(options) if is_feasible(offtake, options[o], river)]


def capital(offtake: Offtake, option: Option, catchment: Catchment) -> float:
    """The model page, section 8: the price installed; a quote replaces it for its option."""
    if offtake.quote is not None and offtake.quote_option == option.option_id:
        return offtake.quote

    def price(item: str, kind: str = "") -> float:
        return catchment.prices.get((item, kind), 0.0)

    bought = units_needed(offtake, option, catchment) * option.unit_price
    brought = price("power") if option.needs_power and offtake.power == "no" else 0.0
    works = (
        bought
        + price("mount", offtake.kind)
        + price("access", offtake.access)
        + brought
        + price("mobilisation")
    )
    return works * (1 + price("design")) * (1 + price("contingency"))


def annuity(years: float, rate: float) -> float:
    """The model page, section 8: a(x), today's worth of 1 a year for x years."""
    return years if rate == 0 else (1 - (1 + rate) ** -years) / rate


def life_cycle_cost(offtake: Offtake, option: Option, catchment: Catchment) -> float:
    """The model page, section 8: capital spread over the option's life, and upkeep, over one
    horizon for all.
    """
    rate, horizon = catchment.settings.discount_rate, catchment.settings.horizon_years
    spent = capital(offtake, option, catchment)
    yearly = spent / annuity(option.life_years, rate) + option.upkeep_share_year * spent
    return yearly * annuity(horizon, rate)


def best_option(offtake: Offtake, gain: dict[str, float], river: River) -> Option | None:
    """The model page, section 8: most gain for the money; ties (within 1e-9 relative): higher gain,
    then id.
    """
    best: Option | None = None
    for option in feasible_options(offtake, river):
        if gain[option.option_id] <= 0:
            continue
        if best is None:
            best = option
            continue
        cost, best_cost = (life_cycle_cost(offtake, o, river.catchment) for o in (option, best))
        ratio, best_ratio = gain[option.option_id] / cost, gain[best.option_id] / best_cost
        if is_tie(ratio, best_ratio):
            more, most = gain[option.option_id], gain[best.option_id]
            if more > most and not is_tie(more, most):
                best = option
        elif ratio > best_ratio:
            best = option
    return best


def is_tie(a: float, b: float) -> bool:
    """The model page, sections 8 and 10: equal within 1e-9 relative."""
    return abs(a - b) <= ONE_PART_IN_A_BILLION * max(abs(a), abs(b))
