"""In which order does a sweep meet reaches, offtakes and releases? Frozen arrays for the kernels.

Reaches are laid in sweep order (each after all above it) and offtakes in the order they act, so
that a sweep walks memory from end to end. Between reaches the travelling state lives in a few
slots that are handed on like registers.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from slackwater.catchment.network import Network

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
RELEASE = -1


class Layout(NamedTuple):
    """The river as the kernels read it; ``r`` counts reaches and ``o`` offtakes in sweep order.

    Attributes
    ----------
    reach_of : (r,) position of each in the reaches table; ``place_of`` is its inverse.
    offtake_of : (o,) position of each in the offtakes table.
    first_event : (r + 1,) int64; events of reach r are ``first_event[r]:first_event[r+1]``.
    event_offtake : (events,) offtake, or -1 for the release at mid-length.
    event_stretch_m : (events,) distance from the event before it or the reach's upper end.
    tail_m : (r,) distance from the last event to the reach's lower end.
    first_arm, arm_reach, arm_share : as in `Network`, in sweep order.
    arm_writes : (arms,) true where the arm is the first to reach its slot (writes, not adds).
    slot_down, slot_up : (r,) slot of a reach's upper end in the sweep down and up; -1 where
        nothing flows in.
    slots_down, slots_up : how many slots there are.
    most_arms : arms of the reach that has most, at least 1.
    """

    reach_of: Positions
    place_of: Positions
    offtake_of: Positions
    first_event: Positions
    event_offtake: Positions
    event_stretch_m: Numbers
    tail_m: Numbers
    first_arm: Positions
    arm_reach: Positions
    arm_share: Numbers
    arm_writes: NDArray[np.bool_]
    slot_down: Positions
    slot_up: Positions
    slots_down: int
    slots_up: int
    most_arms: int


def lay_out(
    network: Network,
    length_m: Numbers,
    reach_index: Positions,
    chainage_m: Numbers,
    offtake_ids: tuple[str, ...],
) -> Layout:
    """Lay a network and its offtakes in sweep order.

    Offtakes of a reach act in order of chainage, ties by id; one at mid-length acts before the
    release there.
    """
    order = network.order
    place_of = np.empty(len(order), np.int64)
    place_of[order] = np.arange(len(order))
    events = _events(place_of[reach_index], chainage_m, length_m[order], offtake_ids)
    first_event, event_offtake, event_stretch_m, tail_m, offtake_of = events
    counts = np.diff(network.first_arm)[order]
    first_arm = np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
    starts = np.repeat(network.first_arm[:-1][order] - first_arm[:-1], counts)
    arms = np.arange(len(network.arm_reach)) + starts
    arm_reach = place_of[network.arm_reach[arms]]
    slot_down, arm_writes, slots_down = _slots_down(first_arm, arm_reach)
    slot_up, slots_up = _slots_up(first_arm, arm_reach)
    return Layout(
        reach_of=order,
        place_of=place_of,
        offtake_of=offtake_of,
        first_event=first_event,
        event_offtake=event_offtake,
        event_stretch_m=event_stretch_m,
        tail_m=tail_m,
        first_arm=first_arm,
        arm_reach=arm_reach,
        arm_share=network.arm_share[arms],
        arm_writes=arm_writes,
        slot_down=slot_down,
        slot_up=slot_up,
        slots_down=slots_down,
        slots_up=slots_up,
        most_arms=max(1, int(counts.max())),
    )


def _events(
    place: Positions, chainage_m: Numbers, length_m: Numbers, offtake_ids: tuple[str, ...]
) -> tuple[Positions, Positions, Numbers, Numbers, Positions]:
    """Offtakes and releases in the order they act, and the stretches between them.

    ``place`` is each offtake's reach and ``length_m`` each reach's length, both in sweep order.
    """
    n = len(length_m)
    by_id = np.argsort(np.argsort(np.array(offtake_ids, object)))
    reach = np.concatenate((place, np.arange(n)))
    at_m = np.concatenate((chainage_m, length_m / 2))
    is_release = np.concatenate((np.zeros(len(place), np.int64), np.ones(n, np.int64)))
    tie = np.concatenate((by_id, np.zeros(n, np.int64)))
    order = np.lexsort((tie, is_release, at_m, reach))
    reach, at_m, is_release = reach[order], at_m[order], is_release[order]
    first_event = np.searchsorted(reach, np.arange(n + 1))
    event_offtake = np.where(is_release == 1, RELEASE, np.cumsum(1 - is_release) - 1)
    stretch_m = np.diff(at_m, prepend=0.0)
    stretch_m[first_event[:-1]] = at_m[first_event[:-1]]
    tail_m = np.maximum(0.0, length_m - at_m[first_event[1:] - 1])
    return first_event, event_offtake, stretch_m, tail_m, order[order < len(place)]


@njit(cache=True)
def _slots_down(
    first_arm: Positions, arm_reach: Positions
) -> tuple[Positions, NDArray[np.bool_], int]:
    """A slot lives from the first arm that flows into a reach until that reach is swept."""
    n = len(first_arm) - 1
    slot, writes = np.full(n, -1, np.int64), np.zeros(len(arm_reach), np.bool_)
    free, n_free, count = np.empty(n, np.int64), 0, 0
    for reach in range(n):
        if slot[reach] >= 0:
            free[n_free] = slot[reach]
            n_free += 1
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            if slot[arm_reach[arm]] < 0:
                writes[arm] = True
                if n_free:
                    n_free -= 1
                    slot[arm_reach[arm]] = free[n_free]
                else:
                    slot[arm_reach[arm]] = count
                    count += 1
    return slot, writes, count


@njit(cache=True)
def _slots_up(first_arm: Positions, arm_reach: Positions) -> tuple[Positions, int]:
    """A slot lives from when a reach is swept until the last reach above it is."""
    n = len(first_arm) - 1
    slot, waiting = np.full(n, -1, np.int64), np.bincount(arm_reach, minlength=n)
    free, n_free, count = np.empty(n, np.int64), 0, 0
    for reach in range(n - 1, -1, -1):
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            below = arm_reach[arm]
            waiting[below] -= 1
            if waiting[below] == 0:
                free[n_free] = slot[below]
                n_free += 1
        if waiting[reach] > 0:
            if n_free:
                n_free -= 1
                slot[reach] = free[n_free]
            else:
                slot[reach] = count
                count += 1
    return slot, count
