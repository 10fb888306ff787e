"""What does the landholder pay and gain? Less flushing, cleaning and wear, less the head lost.

Section 8 of the methods page. Published evidence of farm savings is "largely anecdotal" (FRDC
2022-003); every place that shows these figures says so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slackwater.catchment.catchment import Catchment
from slackwater.screens.cost import annuity_factor, price_list

WATER_KN_M3 = 9.81
DAYS_A_MONTH = 365 / 12
CAVEAT = "Published evidence of savings on farm is largely anecdotal (FRDC 2022-003)."

SITE_INPUTS = ("flushes_per_day", "flush_minutes", "flush_litres", "filter_cleaning_hours_month",
               "pumping_months", "pump_head_m", "pump_efficiency")  # fmt: skip
OPTION_INPUTS = ("filter_cut_share", "head_loss_m")


@dataclass(frozen=True)
class LandholderSide:
    """Money of one option at one offtake; None where an input is empty.

    Attributes
    ----------
    pays_once, upkeep_per_year : what the landholder pays.
    saving_per_year, saving_per_year_low : with the stated cut of filter work, and half of it.
    payback_years : what is paid once over saving less upkeep; None where that never pays back.
    net_present_value : over the horizon at the chosen rate.
    missing : inputs that are empty, as ``table.column``.
    """

    pays_once: float
    upkeep_per_year: float
    saving_per_year: float | None
    saving_per_year_low: float | None
    payback_years: float | None
    net_present_value: float | None
    missing: tuple[str, ...]


def landholder_side(
    catchment: Catchment, offtake: int, option: int, capital: float, upkeep_per_year: float
) -> LandholderSide:
    """Work out the landholder's side of one option at one offtake."""
    settings = catchment.settings
    pays_once = settings.landholder_share * capital
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    site = {name: float(offtakes.number(name)[offtake]) for name in SITE_INPUTS}
    screen = {name: float(options.number(name)[option]) for name in OPTION_INPUTS}
    missing = tuple(
        f"{table}.{name}"
        for table, values in (("offtakes", site), ("options", screen))
        for name, value in values.items()
        if np.isnan(value)
    )
    if missing:
        return LandholderSide(pays_once, upkeep_per_year, None, None, None, None, missing)
    price = price_list(catchment, "amount")
    capacity_m3s = float(offtakes.number("capacity_m3s")[offtake])
    wear = float(np.nan_to_num(offtakes.number("wear_cost_year")[offtake]))
    pumping_days = site["pumping_months"] * DAYS_A_MONTH
    pump_kw = WATER_KN_M3 * capacity_m3s * site["pump_head_m"] / site["pump_efficiency"]
    loss_kw = WATER_KN_M3 * capacity_m3s * screen["head_loss_m"] / site["pump_efficiency"]
    flush = site["flush_litres"] / 1e6 * price("water_ml") + site[
        "flush_minutes"
    ] / 60 * pump_kw * price("energy_kwh")
    work = (
        site["flushes_per_day"] * flush * pumping_days
        + site["filter_cleaning_hours_month"] * site["pumping_months"] * price("labour_hour")
        + wear
    )
    head_cost = loss_kw * 24 * pumping_days * price("energy_kwh")
    saving = screen["filter_cut_share"] * work - head_cost
    net = saving - upkeep_per_year
    factor = float(annuity_factor(settings.horizon_years, settings.discount_rate))
    return LandholderSide(
        pays_once=pays_once,
        upkeep_per_year=upkeep_per_year,
        saving_per_year=saving,
        saving_per_year_low=screen["filter_cut_share"] / 2 * work - head_cost,
        payback_years=pays_once / net if net > 0 else None,
        net_present_value=net * factor - pays_once,
        missing=(),
    )
