"""One block of cohorts down the river and up again, reach by reach.

The arrays of `Layout` and `Conditions` are taken out of their tuples once a sweep: handing whole
tuples on costs more than the arithmetic.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.river.kernel import (
    DIED,
    LANES,
    LEFT,
    PRODUCED,
    SETTLED,
    STRANDED,
    Conditions,
    _compiled,
    count_stretch,
    fill_arm_shares,
    fill_births,
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
def sweep_down(
    layout: Layout, c: Conditions, keeps_out: Numbers, cohorts: Positions,
    source: int, counting: bool,
    arriving: Numbers, taken: Numbers, counted: Numbers, settled: Numbers,
) -> None:  # fmt: skip
    """Carry one block of cohorts from the sources to the outlets.

    Parameters
    ----------
    keeps_out : (o,) share each offtake's screen keeps alive in the river, of this guild.
    cohorts : (LANES,) cohort of each lane; a lane to leave empty holds one before any release.
    source : -1 releases the season's births; else only what offtake ``source`` would take is
        let go below it (``arriving`` must hold its arrivals already).
    counting : whether the three results below ``arriving`` are added to.
    arriving : (o, k, LANES) set to the drifters of each stage arriving at each offtake.
    taken : (o,) heads taken.
    counted : (5, LANES) heads produced, settled, died, stranded, left.
    settled : (r + 1,) heads settled in each reach, and left at the outlets last.
    """
    first_event, event_offtake = layout.first_event, layout.event_offtake
    event_stretch_m, tail_m = layout.event_stretch_m, layout.tail_m
    first_arm, arm_reach, arm_share = layout.first_arm, layout.arm_reach, layout.arm_share
    arm_writes, slot_down = layout.arm_writes, layout.slot_down
    flow_class, gauge, lag_days, pace = c.flow_class, c.gauge, c.lag_days, c.pace
    slowness, dries, births, day_share = c.slowness, c.dries, c.births, c.day_share
    taken_share, survival, k, ratio = c.taken_share, c.survival, c.stages, c.ratio
    state, slots = np.zeros((k, LANES)), np.zeros((max(layout.slots_down, 1), k, LANES))
    z, decay, rate, born = np.empty(LANES), np.empty(LANES), np.empty(LANES), np.empty(LANES)
    weight, runs, settling, e = np.empty(LANES), np.empty(LANES), np.empty(LANES), np.empty(LANES)
    gamma, share = np.empty((k + 1, LANES)), np.empty((layout.most_arms, LANES))
    bits, day = np.empty(LANES, np.int64), np.empty(LANES, np.int64)
    gone = np.empty(LANES)
    for r in range(len(tail_m)):
        fill_rate(cohorts, lag_days[r], pace[r], slowness, flow_class[r], rate, day)
        for a in range(k):
            for lane in range(LANES):
                state[a, lane] = slots[slot_down[r], a, lane] if slot_down[r] >= 0 else 0.0
        settling[:] = 0.0
        filled_m = 0.0
        for event in range(first_event[r], first_event[r + 1] + 1):
            ends = event == first_event[r + 1]
            stretch_m = tail_m[r] if ends else event_stretch_m[event]
            if stretch_m > 0.0:
                if stretch_m != filled_m:  # the halves of a reach without offtakes are alike
                    filled_m = stretch_m
                    fill_decay(rate, stretch_m, z, bits, decay, gone)
                    if counting:
                        fill_gamma(z, decay, gone, k, gamma, weight)
                if counting:
                    count_stretch(state, gamma, k, ratio, settling, counted)
                move_down(state, z, decay, k, ratio, weight)
            if ends:
                break
            offtake = event_offtake[event]
            if offtake < 0:
                if source < 0 and births[r] > 0.0:
                    fill_births(cohorts, lag_days[r], births[r], day_share, gauge[r], born)
                    for lane in range(LANES):
                        state[0, lane] += born[lane]
                        counted[PRODUCED, lane] += born[lane]
                continue
            for lane in range(LANES):
                e[lane] = taken_share[offtake, day[lane]] * (1.0 - keeps_out[offtake])
            for a in range(k):
                if offtake == source:
                    for lane in range(LANES):
                        state[a, lane] += arriving[offtake, a, lane] * e[lane]
                    continue
                if source < 0:
                    for lane in range(LANES):
                        arriving[offtake, a, lane] = state[a, lane]
                for lane in range(LANES):
                    taken[offtake] += state[a, lane] * e[lane]
                    state[a, lane] *= 1.0 - e[lane]
        if counting:
            for lane in range(LANES):
                counted[SETTLED, lane] += settling[lane]
            settled[r] += settling.sum()
        if survival[r] < 1.0:
            for a in range(k):
                for lane in range(LANES):
                    counted[DIED, lane] += state[a, lane] * (1.0 - survival[r])
                    state[a, lane] *= survival[r]
        first, last = first_arm[r], first_arm[r + 1]
        if first == last:
            for a in range(k):
                for lane in range(LANES):
                    counted[LEFT, lane] += state[a, lane]
                    settled[-1] += state[a, lane]
            continue
        if last - first == 1 and not dries[flow_class[arm_reach[first]]]:
            slot, kept = slot_down[arm_reach[first]], 0.0 if arm_writes[first] else 1.0
            for a in range(k):
                for lane in range(LANES):
                    slots[slot, a, lane] = slots[slot, a, lane] * kept + state[a, lane]
            continue
        if not fill_arm_shares(
            first, last, cohorts, arm_reach, arm_share, lag_days, flow_class, dries, slowness,
            share, runs,
        ):  # fmt: skip
            for a in range(k):
                for lane in range(LANES):
                    lost = state[a, lane] if runs[lane] == 0.0 else 0.0
                    counted[DIED, lane] += lost
                    counted[STRANDED, lane] += lost
        for arm in range(first, last):
            slot, kept = slot_down[arm_reach[arm]], 0.0 if arm_writes[arm] else 1.0
            for a in range(k):
                for lane in range(LANES):
                    part = state[a, lane] * share[arm - first, lane]
                    slots[slot, a, lane] = slots[slot, a, lane] * kept + part


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
    first_event, event_offtake = layout.first_event, layout.event_offtake
    event_stretch_m, tail_m = layout.event_stretch_m, layout.tail_m
    first_arm, arm_reach, arm_share = layout.first_arm, layout.arm_reach, layout.arm_share
    slot_up = layout.slot_up
    flow_class, gauge, lag_days, pace = c.flow_class, c.gauge, c.lag_days, c.pace
    slowness, dries, births, day_share = c.slowness, c.dries, c.births, c.day_share
    taken_share, survival, k, ratio = c.taken_share, c.survival, c.stages, c.ratio
    worth, slots = np.zeros((k, LANES)), np.zeros((max(layout.slots_up, 1), k, LANES))
    z, decay, rate, born = np.empty(LANES), np.empty(LANES), np.empty(LANES), np.empty(LANES)
    weight, runs, product, e = np.empty(LANES), np.empty(LANES), np.empty(LANES), np.empty(LANES)
    gamma, share = np.zeros((k + 1, LANES)), np.empty((layout.most_arms, LANES))
    bits, day = np.empty(LANES, np.int64), np.empty(LANES, np.int64)
    gone = np.empty(LANES)
    for r in range(len(tail_m) - 1, -1, -1):
        fill_rate(cohorts, lag_days[r], pace[r], slowness, flow_class[r], rate, day)
        nursery = c.nursery[r] if target < 0 else 0.0
        first, last = first_arm[r], first_arm[r + 1]
        ending = c.outlet_value * survival[r] if first == last and target < 0 else 0.0
        for a in range(k):
            for lane in range(LANES):
                worth[a, lane] = ending
        if first < last:
            fill_arm_shares(
                first, last, cohorts, arm_reach, arm_share, lag_days, flow_class, dries, slowness,
                share, runs,
            )  # fmt: skip
            for arm in range(first, last):
                slot = slot_up[arm_reach[arm]]
                for a in range(k):
                    for lane in range(LANES):
                        part = share[arm - first, lane] * survival[r]
                        worth[a, lane] += part * slots[slot, a, lane]
        filled_m = 0.0
        for event in range(first_event[r + 1], first_event[r] - 1, -1):
            begins = event == first_event[r + 1]
            stretch_m = tail_m[r] if begins else event_stretch_m[event]
            offtake = -2 if begins else event_offtake[event]
            if offtake == -1 and births[r] > 0.0:
                fill_births(cohorts, lag_days[r], births[r], day_share, gauge[r], born)
                for lane in range(LANES):
                    reach_worth[r] += born[lane] * worth[0, lane]
            if offtake >= 0:
                for lane in range(LANES):
                    e[lane] = taken_share[offtake, day[lane]]
                    product[lane] = 0.0
                if len(arriving):
                    for a in range(k):
                        for lane in range(LANES):
                            product[lane] += arriving[offtake, a, lane] * worth[a, lane]
                    for lane in range(LANES):
                        exposed[offtake] += product[lane] * e[lane]
                        meeting[offtake] += product[lane]
                passes = 1.0 - keeps_out[offtake]
                counts = 1.0 if offtake == target else 0.0
                for a in range(k):
                    for lane in range(LANES):
                        lost = e[lane] * passes
                        worth[a, lane] = worth[a, lane] * (1.0 - lost) + counts * lost
            if stretch_m > 0.0:
                if stretch_m != filled_m:
                    filled_m = stretch_m
                    fill_decay(rate, stretch_m, z, bits, decay, gone)
                    if nursery > 0.0:
                        fill_gamma(z, decay, gone, k, gamma, weight)
                move_up(worth, z, decay, gamma, k, ratio, nursery, weight)
        if slot_up[r] >= 0:
            for a in range(k):
                for lane in range(LANES):
                    slots[slot_up[r], a, lane] = worth[a, lane]
