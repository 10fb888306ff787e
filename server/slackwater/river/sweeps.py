"""One block of cohorts down the river and up again, reach by reach."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.river.kernel import (
    DIED,
    LANES,
    LEFT,
    PRODUCED,
    STRANDED,
    Conditions,
    _compiled,
    count_stretch,
    fill_arm_shares,
    fill_decay,
    fill_gamma,
    fill_rate,
    move_down,
    move_up,
)
from slackwater.river.layout import Layout

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@_compiled
def release_share(c: Conditions, r: int, cohort: int) -> float:
    """Give the share of a full season that reach ``r`` releases into a cohort."""
    day = cohort - c.lag_days[r]
    if day < 0 or day >= c.day_share.shape[1]:
        return 0.0
    return c.day_share[c.gauge[r], day]


@_compiled
def sweep_down(
    layout: Layout, c: Conditions, keeps_out: Numbers, cohorts: Positions,
    source: int, counting: bool,
    arriving: Numbers, taken: Numbers, passing: Numbers, counted: Numbers, settled: Numbers,
) -> None:  # fmt: skip
    """Carry one block of cohorts from the sources to the outlets.

    Parameters
    ----------
    keeps_out : (o,) share each offtake's screen keeps alive in the river, of this guild.
    cohorts : (LANES,) cohort of each lane; a lane to leave empty holds one before any release.
    source : -1 releases the season's births; else only what offtake ``source`` would take is
        let go below it (``arriving`` must hold its arrivals already).
    counting : whether the four results below ``arriving`` are added to.
    arriving : (o, k, LANES) set to the drifters of each stage arriving at each offtake.
    taken : (o,) heads taken.
    passing : (o, days) heads passing each offtake by day, before taking.
    counted : (5,) heads produced, settled, died, stranded, left.
    settled : (r + 1,) heads settled in each reach, and left at the outlets last.
    """
    k = c.stages
    state = np.zeros((k, LANES))
    slots = np.zeros((max(layout.slots_down, 1), k, LANES))
    z, decay, rate = np.empty(LANES), np.empty(LANES), np.empty(LANES)
    weight, total = np.empty(LANES), np.empty(LANES)
    gamma = np.empty((k + 1, LANES))
    bits, day = np.empty(LANES, np.int64), np.empty(LANES, np.int64)
    most_arms = 1
    for r in range(len(layout.tail_m)):
        most_arms = max(most_arms, layout.first_arm[r + 1] - layout.first_arm[r])
    share = np.empty((most_arms, LANES))
    for r in range(len(layout.tail_m)):
        fill_rate(c, r, cohorts, rate, day)
        if layout.slot_down[r] >= 0:
            state[:] = slots[layout.slot_down[r]]
        else:
            state[:] = 0.0
        for event in range(layout.first_event[r], layout.first_event[r + 1] + 1):
            ends = event == layout.first_event[r + 1]
            stretch_m = layout.tail_m[r] if ends else layout.event_stretch_m[event]
            if stretch_m > 0.0:
                fill_decay(rate, stretch_m, z, bits, decay)
                if counting:
                    fill_gamma(z, decay, k, gamma, weight)
                    settled[r] += count_stretch(state, gamma, k, c.ratio, counted)
                move_down(state, z, decay, k, c.ratio, weight)
            if ends:
                break
            offtake = layout.event_offtake[event]
            if offtake < 0:
                if source < 0 and c.births[r] > 0.0:
                    for lane in range(LANES):
                        born = c.births[r] * release_share(c, r, cohorts[lane])
                        state[0, lane] += born
                        counted[PRODUCED] += born
            elif offtake == source:
                for a in range(k):
                    for lane in range(LANES):
                        e = c.taken_share[offtake, day[lane]] * (1.0 - keeps_out[offtake])
                        state[a, lane] += arriving[offtake, a, lane] * e
            else:
                if source < 0:
                    arriving[offtake] = state
                for a in range(k):
                    for lane in range(LANES):
                        e = c.taken_share[offtake, day[lane]] * (1.0 - keeps_out[offtake])
                        if counting:
                            passing[offtake, day[lane]] += state[a, lane]
                            taken[offtake] += state[a, lane] * e
                        state[a, lane] *= 1.0 - e
        if c.survival[r] < 1.0:
            for a in range(k):
                for lane in range(LANES):
                    counted[DIED] += state[a, lane] * (1.0 - c.survival[r])
                    state[a, lane] *= c.survival[r]
        first, last = layout.first_arm[r], layout.first_arm[r + 1]
        if first == last:
            left = state.sum()
            counted[LEFT] += left
            settled[-1] += left
            continue
        if not fill_arm_shares(layout, c, r, cohorts, share, total):
            for a in range(k):
                for lane in range(LANES):
                    if total[lane] == 0.0:
                        counted[DIED] += state[a, lane]
                        counted[STRANDED] += state[a, lane]
        for arm in range(first, last):
            slot = slots[layout.slot_down[layout.arm_reach[arm]]]
            for a in range(k):
                for lane in range(LANES):
                    part = state[a, lane] * share[arm - first, lane]
                    slot[a, lane] = part if layout.arm_writes[arm] else slot[a, lane] + part


@_compiled
def sweep_up(
    layout: Layout, c: Conditions, keeps_out: Numbers, cohorts: Positions,
    arriving: Numbers, target: int,
    exposed: Numbers, meeting: Numbers, reach_worth: Numbers,
) -> None:  # fmt: skip
    """Carry worth of one block of cohorts from the outlets to the sources.

    Parameters
    ----------
    keeps_out, cohorts : as in `sweep_down`.
    arriving : (o, k, LANES) as `sweep_down` left it; of no rows where only worth is asked for.
    target : -1 for the worth of section 6; else the worth is 1 for what offtake ``target`` takes
        and 0 for everything else.
    exposed : (o,) added to: arrivals x worth just below x share taken without a screen.
    meeting : (o,) added to: arrivals x worth just below.
    reach_worth : (r,) added to: births of each reach x worth at its mid-length.
    """
    k = c.stages
    worth = np.zeros((k, LANES))
    slots = np.zeros((max(layout.slots_up, 1), k, LANES))
    z, decay, rate = np.empty(LANES), np.empty(LANES), np.empty(LANES)
    weight, total = np.empty(LANES), np.empty(LANES)
    gamma = np.empty((k + 1, LANES))
    bits, day = np.empty(LANES, np.int64), np.empty(LANES, np.int64)
    most_arms = 1
    for r in range(len(layout.tail_m)):
        most_arms = max(most_arms, layout.first_arm[r + 1] - layout.first_arm[r])
    share = np.empty((most_arms, LANES))
    outlet_value = c.outlet_value if target < 0 else 0.0
    for r in range(len(layout.tail_m) - 1, -1, -1):
        fill_rate(c, r, cohorts, rate, day)
        nursery = c.nursery[r] if target < 0 else 0.0
        first, last = layout.first_arm[r], layout.first_arm[r + 1]
        if first == last:
            worth[:] = outlet_value * c.survival[r]
        else:
            fill_arm_shares(layout, c, r, cohorts, share, total)
            worth[:] = 0.0
            for arm in range(first, last):
                slot = slots[layout.slot_up[layout.arm_reach[arm]]]
                for a in range(k):
                    for lane in range(LANES):
                        worth[a, lane] += share[arm - first, lane] * slot[a, lane]
            if c.survival[r] < 1.0:
                worth *= c.survival[r]
        for event in range(layout.first_event[r + 1], layout.first_event[r] - 1, -1):
            if event < layout.first_event[r + 1]:
                offtake = layout.event_offtake[event]
                if offtake < 0:
                    if c.births[r] > 0.0:
                        for lane in range(LANES):
                            born = c.births[r] * release_share(c, r, cohorts[lane])
                            reach_worth[r] += born * worth[0, lane]
                else:
                    for lane in range(LANES):
                        e = c.taken_share[offtake, day[lane]]
                        if len(arriving):
                            product = 0.0
                            for a in range(k):
                                product += arriving[offtake, a, lane] * worth[a, lane]
                            exposed[offtake] += product * e
                            meeting[offtake] += product
                        e *= 1.0 - keeps_out[offtake]
                        gained = e if offtake == target else 0.0
                        for a in range(k):
                            worth[a, lane] = worth[a, lane] * (1.0 - e) + gained
                stretch_m = layout.event_stretch_m[event]
            else:
                stretch_m = layout.tail_m[r]
            if stretch_m > 0.0:
                fill_decay(rate, stretch_m, z, bits, decay)
                if nursery > 0.0:
                    fill_gamma(z, decay, k, gamma, weight)
                else:
                    gamma[:] = 0.0
                move_up(worth, z, decay, gamma, k, c.ratio, nursery, weight)
        if layout.slot_up[r] >= 0:
            slots[layout.slot_up[r]] = worth
