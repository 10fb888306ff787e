"""In which order does a sweep meet reaches, offtakes and releases? Frozen arrays for the kernels.

Reaches are laid in sweep order (each after all above it) and offtakes in the order they act, so
that a sweep walks memory from end to end. Between reaches the travelling state lives in a few
slots that are handed on like registers.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
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
    on_reach: list[list[int]] = [[] for _ in order]
    for offtake, reach in enumerate(reach_index):
        on_reach[reach].append(offtake)
    offtake_of: list[int] = []
    first_event, event_offtake, event_stretch, tail = [0], [], [], []
    for reach in order:
        middle = length_m[reach] / 2
        events = [(float(chainage_m[o]), 0, offtake_ids[o], o) for o in on_reach[reach]]
        events.append((float(middle), 1, "", RELEASE))
        at = 0.0
        for chainage, _, _, offtake in sorted(events):
            if offtake != RELEASE:
                offtake_of.append(offtake)
            event_offtake.append(RELEASE if offtake == RELEASE else len(offtake_of) - 1)
            event_stretch.append(chainage - at)
            at = chainage
        tail.append(max(0.0, float(length_m[reach]) - at))
        first_event.append(len(event_offtake))
    counts = np.diff(network.first_arm)[order]
    first_arm = np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
    arms = np.concatenate(
        [np.arange(network.first_arm[r], network.first_arm[r + 1]) for r in order]
        + [np.zeros(0, np.int64)]
    ).astype(np.int64)
    arm_reach = place_of[network.arm_reach[arms]]
    slot_down, arm_writes, slots_down = _slots_down(first_arm, arm_reach)
    slot_up, slots_up = _slots_up(first_arm, arm_reach)
    return Layout(
        reach_of=order,
        place_of=place_of,
        offtake_of=np.array(offtake_of, np.int64),
        first_event=np.array(first_event, np.int64),
        event_offtake=np.array(event_offtake, np.int64),
        event_stretch_m=np.array(event_stretch, np.float64),
        tail_m=np.array(tail, np.float64),
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


class _Slots:
    """Hands out the lowest free slot."""

    def __init__(self) -> None:
        self.free: list[int] = []
        self.count = 0

    def take(self) -> int:
        if self.free:
            return self.free.pop()
        self.count += 1
        return self.count - 1


def _slots_down(
    first_arm: Positions, arm_reach: Positions
) -> tuple[Positions, NDArray[np.bool_], int]:
    """A slot lives from the first arm that flows into a reach until that reach is swept."""
    slots = _Slots()
    slot = np.full(len(first_arm) - 1, -1, np.int64)
    writes = np.zeros(len(arm_reach), bool)
    for reach in range(len(slot)):
        if slot[reach] >= 0:
            slots.free.append(int(slot[reach]))
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            if slot[arm_reach[arm]] < 0:
                slot[arm_reach[arm]] = slots.take()
                writes[arm] = True
    return slot, writes, slots.count


def _slots_up(first_arm: Positions, arm_reach: Positions) -> tuple[Positions, int]:
    """A slot lives from when a reach is swept until the last reach above it is."""
    slots = _Slots()
    n = len(first_arm) - 1
    slot = np.full(n, -1, np.int64)
    waiting = np.bincount(arm_reach, minlength=n)
    for reach in range(n - 1, -1, -1):
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            below = arm_reach[arm]
            waiting[below] -= 1
            if waiting[below] == 0:
                slots.free.append(int(slot[below]))
        if np.any(waiting[reach] > 0):
            slot[reach] = slots.take()
    return slot, slots.count
