"""Which options can go on which intake, at what cost to the fund, and what do they keep alive?

Section 8 of the methods page, and the cost of section 10.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment

Numbers = NDArray[np.float64]


def kept_alive(catchment: Catchment) -> tuple[dict[str, Numbers], dict[str, Numbers]]:
    """Share kept alive in the river: option id -> (guilds,), of drifters and of residents.

    ``none`` and pairs missing in the data are 0.
    """
    guilds, table = catchment.table("guilds"), catchment.table("efficacy")
    drifters = {o: np.zeros(len(guilds)) for o in ("none", *catchment.table("options").keys)}
    residents = {o: np.zeros(len(guilds)) for o in drifters}
    for row in range(len(table)):
        option, guild = str(table.text("option_id")[row]), str(table.text("guild_id")[row])
        kept, own = float(table.number("drifter")[row]), float(table.number("resident")[row])
        drifters[option][guilds.index[guild]] = kept
        residents[option][guilds.index[guild]] = kept if math.isnan(own) else own
    return drifters, residents


def costs_to_fund(catchment: Catchment) -> list[dict[str, float]]:
    """For each offtake the options that can go on it, with what each costs the fund."""
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    share = 1 - catchment.settings.landholder_share
    found: list[dict[str, float]] = []
    for offtake in range(len(offtakes)):
        possible = {}
        for option, option_id in enumerate(options.keys):
            if not any(_obstacles(catchment, offtake, option)):
                possible[option_id] = _capital(catchment, offtake, option) * share
        found.append(possible)
    return found


def mobilisation_to_fund(catchment: Catchment) -> float:
    """Give what of a cost without a quote is coming to the place, for the fund's share."""
    price = _prices(catchment)
    coming = price.get(("mobilisation", ""), 0.0)
    for extra in ("design", "contingency"):
        coming *= 1 + price.get((extra, ""), 0.0)
    return coming * (1 - catchment.settings.landholder_share)


def _obstacles(catchment: Catchment, offtake: int, option: int) -> Iterator[bool]:
    """Give, one after another, whether something stands against an option at an intake."""
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    criteria = catchment.settings.screen_criteria
    kinds = [kind.strip() for kind in str(options.text("kinds")[option]).split(";")]
    yield kinds != [""] and str(offtakes.text("kind")[offtake]) not in kinds
    if criteria.max_opening_mm is not None:
        yield float(options.number("opening_mm")[option]) > criteria.max_opening_mm
    depth_m = float(offtakes.number("intake_depth_m")[offtake])
    if math.isnan(depth_m):
        reach = catchment.reach_index[offtake]
        depth_m = float(catchment.table("reaches").number("depth_m")[reach])
    yield depth_m < float(options.number("min_depth_m")[option])  # unknown (NaN) stands not in it
    yield _brings_power(catchment, offtake, option) and ("power", "") not in _prices(catchment)
    yield float(options.number("life_years")[option]) < criteria.least_life_years
    yield str(offtakes.text("fitted")[offtake]) == options.keys[option]


def _brings_power(catchment: Catchment, offtake: int, option: int) -> bool:
    needs = catchment.table("options").text("needs_power")[option] == "yes"
    return bool(needs and catchment.table("offtakes").text("power")[offtake] != "yes")


def _prices(catchment: Catchment) -> dict[tuple[str, str], float]:
    """(item, kind) -> amount."""
    prices = catchment.table("prices")
    rows = zip(prices.text("item"), prices.text("kind"), prices.number("amount"), strict=True)
    return {(str(item), str(kind)): float(amount) for item, kind, amount in rows}


def _capital(catchment: Catchment, offtake: int, option: int) -> float:
    """Give the price installed: the quote for its option, else item by item."""
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    quote = float(offtakes.number("quote")[offtake])
    if not math.isnan(quote) and offtakes.text("quote_option")[offtake] == options.keys[option]:
        return quote
    price = _prices(catchment)
    items = [("mount", str(offtakes.text("kind")[offtake]))]
    items += [("access", str(offtakes.text("access")[offtake])), ("mobilisation", "")]
    if _brings_power(catchment, offtake, option):
        items.append(("power", ""))
    screen = _units(catchment, offtake, option) * float(options.number("unit_price")[option])
    works = screen + sum(price.get(item, 0.0) for item in items)
    for extra in ("design", "contingency"):
        works *= 1 + price.get((extra, ""), 0.0)
    return works


def _units(catchment: Catchment, offtake: int, option: int) -> int:
    """Whole units that pass the capacity at the lower of the two approach velocities."""
    options, criteria = catchment.table("options"), catchment.settings.screen_criteria
    approach_ms = float(options.number("approach_velocity_ms")[option])
    cleaned = options.text("cleaning")[option] != "none"
    limit = criteria.approach_velocity_ms if cleaned else criteria.approach_velocity_passive_ms
    if limit is not None:
        approach_ms = min(approach_ms, limit)
    capacity_m3s = float(catchment.table("offtakes").number("capacity_m3s")[offtake])
    area_m2 = float(options.number("unit_area_m2")[option])
    return max(1, math.ceil(capacity_m3s / approach_ms / area_m2 - 1e-9))
