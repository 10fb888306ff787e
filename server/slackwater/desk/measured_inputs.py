"""What would each input of each site be over its range, and what would that do to gain and cost?

A site's gain is in proportion to the share it takes, so to its draw and its position; by night it
follows the day as the model's diel factor does. All else stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.triangular import DOUBLE, HALF, triangular
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.trial_draws import InputRange, capital_at
from slackwater.river.adults import year_weights
from slackwater.river.taking import diel_factor, night_fraction

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Tried:
    """One input of every site, tried over its range.

    Attributes
    ----------
    gain_times, cost_times, possible : (offtakes, draws, options) or broadcast to it: by what gain
        and cost are multiplied, and whether the depth allows the option there.
    open : (offtakes,) it is not known already.
    assumed : (offtakes,) nobody gave its range.
    """

    input: str
    gain_times: Numbers
    cost_times: Numbers
    possible: Numbers
    open: Flags
    assumed: Flags


ONE = np.ones((1, 1, 1))


def draw_tried(evaluation: Evaluation, ranges: Mapping[str, InputRange], share: Numbers) -> Tried:
    """Try the draw of those without a meter."""
    catchment, each = evaluation.catchment, ranges["draw"]
    known = np.isin(np.arange(len(catchment.reach_index)), catchment.metered_offtake)
    return Tried("draw", _over(each, share), ONE, ONE, ~known, each.assumed)


def position_tried(ranges: Mapping[str, InputRange], share: Numbers) -> Tried:
    """Try the position."""
    each = ranges["position"]
    return Tried(
        "position", _over(each, share), ONE, ONE, np.ones_like(each.assumed), each.assumed
    )  # fmt: skip


def cost_tried(evaluation: Evaluation, share: Numbers) -> Tried:
    """Try the cost, which a quote would settle; quoted options have no range."""
    capital = evaluation.costs.capital
    drawn = np.stack(
        [capital_at(evaluation, np.full(len(capital), each)) for each in share], axis=1
    )
    times = np.divide(drawn, capital[:, None, :], out=np.ones_like(drawn),
                      where=capital[:, None, :] > 0)  # fmt: skip
    everywhere = np.ones(len(capital), bool)
    assumed = everywhere & ("cost" not in evaluation.catchment.settings.ranges)
    return Tried("cost", ONE, times, ONE, everywhere, assumed)


def depth_tried(evaluation: Evaluation, share: Numbers) -> Tried:
    """Try the depth where none was read at the intake: it says which options can go there.

    Likeliest at the reach's depth; half-way where there is none. The settings' range is of metres;
    without it half to double of the reach's, and nothing can be said where that is not known.
    """
    catchment = evaluation.catchment
    read = ~np.isnan(catchment.table("offtakes").number("intake_depth_m"))
    reach = catchment.table("reaches").number("depth_m")[catchment.reach_index]
    given = catchment.settings.ranges.get("depth_m")
    if given:
        low, high = (np.full(len(reach), end) for end in given)
        likely = np.where(np.isnan(reach), (low + high) / 2, np.clip(reach, low, high))
    else:
        low, likely, high = HALF * reach, reach, DOUBLE * reach
    known = np.isnan(likely)
    low, likely, high = (np.where(known, 0.0, end)[:, None] for end in (low, likely, high))
    depth = triangular(low, likely, high, share[None, :])
    least = catchment.table("options").number("min_depth_m")
    possible = (depth[:, :, None] >= least).astype(np.float64)
    return Tried("depth_m", ONE, ONE, possible, ~read & ~known, np.full(len(reach), not given))


def night_tried(evaluation: Evaluation, ranges: Mapping[str, InputRange], share: Numbers) -> Tried:
    """Try the share of draw by night; where none is known, about the length of the night.

    Days count by draw and by what starts to drift that day at the site's gauge, guilds by the
    worth of those passing.
    """
    catchment, each = evaluation.catchment, ranges["night_use_share"]
    given = catchment.table("offtakes").number("night_use_share")
    guilds = catchment.table("guilds").number("night_drift_share")
    adults = evaluation.worth.adults_per_settler
    times = np.ones((len(given), len(share)))
    total = np.einsum("g,gi->i", adults, evaluation.exposed)
    for guild, by_night in enumerate(guilds):
        if np.isnan(by_night):
            continue
        base, slope, night = _diel_line(evaluation, guild)
        value = np.where(np.isnan(given), night, given)
        tried = np.clip(value[:, None] * _over(each, share)[:, :, 0], 0.0, 1.0)
        now = base + slope * value
        ratio = np.divide(base[:, None] + slope[:, None] * tried, now[:, None],
                          out=np.ones_like(tried), where=now[:, None] > 0)  # fmt: skip
        part = np.divide(adults[guild] * evaluation.exposed[guild], total,
                         out=np.zeros_like(total), where=total > 0)  # fmt: skip
        times += part[:, None] * (ratio - 1)
    assumed = each.assumed | np.isnan(given)
    everywhere = np.ones(len(given), bool)
    return Tried("night_use_share", times[:, :, None], ONE, ONE, everywhere, assumed)


def _over(each: InputRange, share: Numbers) -> Numbers:
    """(offtakes, draws, 1) multiples."""
    low, value, high = (end[:, None] for end in (each.low, each.value, each.high))
    return triangular(low, value, high, share[None, :])[:, :, None]


def _diel_line(evaluation: Evaluation, guild: int) -> tuple[Numbers, Numbers, Numbers]:
    """(offtakes,) mean diel factor of a guild as base + slope x night share, and mean night."""
    catchment, river = evaluation.catchment, evaluation.river
    records, sites = catchment.records, len(catchment.reach_index)
    gauge = river.pace.gauge[catchment.reach_index]
    by_night = float(catchment.table("guilds").number("night_drift_share")[guild])
    sums = np.zeros((4, sites))
    for weight, season in zip(
        year_weights(catchment), (s for s in river.seasons if s.guild == guild), strict=True
    ):
        first, days = int(records.year_first[season.year]), int(records.year_days[season.year])
        dates = records.first_day + first + np.arange(days)
        day_of_year = (dates - dates.astype("datetime64[Y]")).astype(np.int64) + 1
        night = night_fraction(day_of_year, catchment.latitude_deg)
        counts = weight * season.day_share[gauge] * river.draws[season.year].drawn_share
        ends = (diel_factor(by_night, np.full(sites, end), night) for end in (0.0, 1.0))
        sums += [(counts * each).sum(axis=1) for each in (np.ones_like(night), night, *ends)]
    counted = sums[0] > 0
    night, none, all_night = (
        np.divide(each, sums[0], out=np.ones(sites), where=counted) for each in sums[1:]
    )
    return none, all_night - none, night
