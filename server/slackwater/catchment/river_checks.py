"""Does the water find its way? Arms, shares and loops of the drafted network."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.draft import Draft
from slackwater.catchment.network import Network, arms_of, find_cycle, order_downstream

SHARE_TOLERANCE = 1e-6


@dataclass(frozen=True)
class Arms:
    """The arms below each reach, as in `Network`; ``looped`` where they make a loop."""

    first_arm: NDArray[np.int64]
    arm_reach: NDArray[np.int64]
    arm_share: NDArray[np.float64]
    looped: bool = False


def check_arms(drafts: Mapping[str, Draft]) -> Arms:
    """Check shares, named arms and loops; give the arms as far as they are known."""
    reaches, splits = drafts["reaches"], drafts["splits"]
    groups = _arms_by_reach(splits)
    for positions in groups.values():
        _check_share_sum(splits, positions)
    _check_to_reach(reaches, splits, groups)
    to_reach = np.where(reaches.dropped, -1, reaches.links["to_reach"]).tolist()
    known = splits.sound("to_reach", "share")
    arms = [
        (origin, int(splits.links["to_reach"][i]), share)
        for origin, positions in groups.items()
        for i, share in _shares(splits, [i for i in positions if known[i]])
    ]
    first_arm, arm_reach, arm_share = arms_of(to_reach, arms)
    looped = _report_loops(reaches, first_arm, arm_reach)
    return Arms(first_arm, arm_reach, arm_share, looped)


def _arms_by_reach(splits: Draft) -> dict[int, list[int]]:
    """Give rows of splits by the reach that divides."""
    groups: dict[int, list[int]] = defaultdict(list)
    for position in np.flatnonzero(splits.links["from_reach"] >= 0):
        groups[int(splits.links["from_reach"][position])].append(int(position))
    return groups


def _shares(splits: Draft, positions: list[int]) -> list[tuple[int, float]]:
    """Give rows with their shares; equal ones where they are all 0, itself a fault."""
    shares = splits.number("share")[positions]
    if not shares.any():
        shares = np.ones(len(positions))
    return list(zip(positions, shares.tolist(), strict=True))


def _check_share_sum(splits: Draft, positions: list[int]) -> None:
    """Report shares below one reach that do not sum to 1.

    Left alone where a share is not known, or where a row whose reach is not known would make up
    what is missing.
    """
    shares = splits.number("share")
    if np.isnan(shares[positions]).any() or splits.dropped[positions].any():
        return
    total = float(shares[positions].sum())
    astray = np.flatnonzero(splits.links["from_reach"] < 0)
    for missing in (0.0, *shares[astray]):
        if np.isnan(missing) or abs(total + missing - 1) <= SHARE_TOLERANCE:
            return
    origin = splits.text("from_reach")[positions[0]]
    splits.fault(
        positions[0],
        "share",
        "share_sum",
        f"shares below {origin} must sum to 1; they sum to {total:.9g}",
    )


def _check_to_reach(reaches: Draft, splits: Draft, groups: Mapping[int, list[int]]) -> None:
    """Report a next reach that is none of the arms of a reach that divides."""
    below = reaches.links["to_reach"]
    astray = ~splits.sound("from_reach", "to_reach") | (splits.links["to_reach"] < 0)
    for reach, positions in groups.items():
        arms = splits.links["to_reach"][positions]
        strays = splits.links["to_reach"][astray]
        in_doubt = astray[positions].any() or (strays == below[reach]).any()
        if below[reach] < 0 or below[reach] in arms or in_doubt:
            continue
        names = ", ".join(splits.text("to_reach")[positions])
        reaches.fault(
            reach, "to_reach", "not_an_arm", f"empty, or one of its arms in splits: {names}"
        )


def _report_loops(
    reaches: Draft, first_arm: NDArray[np.int64], arm_reach: NDArray[np.int64]
) -> bool:
    """Report one loop of each knot of reaches that lead back to themselves."""
    below = [set(arm_reach[a:b].tolist()) for a, b in pairwise(first_arm)]
    looped = False
    while True:
        counts = np.array([len(arms) for arms in below], np.int64)
        starts = np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
        ends = np.array([each for arms in below for each in sorted(arms)], np.int64)
        loop = find_cycle(starts, ends)
        if not loop:
            return looped
        looped = True
        turn = loop.index(min(loop))
        loop = loop[turn:] + loop[:turn]
        ids = reaches.text("reach_id")
        told = " > ".join(str(ids[i]) for i in [*loop, loop[0]])
        reaches.fault(loop[0], "to_reach", "cycle", f"water runs in a loop: {told}; cut it")
        _untie(below, loop[0])


def _untie(below: list[set[int]], reach: int) -> None:
    """Take out every arm within the knot of reaches that lead to ``reach`` and back."""
    above: list[set[int]] = [set() for _ in below]
    for origin, arms in enumerate(below):
        for target in arms:
            above[target].add(origin)
    knot = reachable(below, [reach]) & reachable(above, [reach])
    for origin in knot:
        below[origin] -= knot


def reachable(steps: list[set[int]], starts: list[int]) -> set[int]:
    """Give everything that can be come to from ``starts``, these included."""
    seen = set(starts)
    waiting = list(starts)
    while waiting:
        for each in steps[waiting.pop()] - seen:
            seen.add(each)
            waiting.append(each)
    return seen


def make_network(drafts: Mapping[str, Draft], arms: Arms) -> Network:
    """Give the network of drafts without fault."""
    weirs, n_guilds = drafts["weirs"], len(drafts["guilds"])
    survival = np.ones((n_guilds, len(drafts["reaches"])))
    for reach, guild, named, share in zip(
        weirs.links["reach_id"],
        weirs.links["guild_id"],
        weirs.text("guild_id"),
        weirs.number("survival"),
        strict=True,
    ):
        which = guild if named else slice(None)
        survival[which, reach] *= share
    order = order_downstream(arms.first_arm, arms.arm_reach)
    return Network(arms.first_arm, arms.arm_reach, arms.arm_share, order, survival)
