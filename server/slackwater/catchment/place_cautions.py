"""What is odd about how lines are drawn and offtakes described?"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.catchment.draft import Draft
from slackwater.catchment.flow_cautions import gauge_index, median_flow_m3s
from slackwater.catchment.placing import WGS84, nearest_line, snap
from slackwater.catchment.river_checks import reachable

SHARE_OF_MEDIAN_FLOW = 0.1
PAIRS_REMEMBERED = 10_000
"""Pairs of reaches that come again at every edit."""
GAUGE_NEAR_M = 2_000.0
"""A gauge further than this from every line stands on no reach of the catchment."""


def warn_of_months(drafts: Mapping[str, Draft]) -> None:
    """Warn where some of the twelve months of use are filled; the empty ones count 0."""
    offtakes = drafts["offtakes"]
    empty = np.isnan(np.column_stack([offtakes.number(name) for name in USE_COLUMNS]))
    for offtake in np.flatnonzero(empty.any(axis=1) & ~empty.all(axis=1)):
        names = [
            name for name, is_empty in zip(USE_COLUMNS, empty[offtake], strict=True) if is_empty
        ]
        offtakes.warn(
            int(offtake),
            names[0],
            "some_months_empty",
            f"counts 0: {', '.join(names)}; fill all twelve or none",
        )


def warn_of_shown_licences(drafts: Mapping[str, Draft]) -> None:
    """Warn where the public code is the licence number, which is private."""
    offtakes = drafts["offtakes"]
    ids, licences = offtakes.text("offtake_id"), offtakes.text("licence")
    for offtake in np.flatnonzero((ids == licences) & (licences != "")):
        offtakes.warn(
            int(offtake),
            "offtake_id",
            "id_is_licence",
            "the code is shown in public, the licence is private: give it a code of its own",
        )


def warn_of_lines_drawn_upstream(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn of a line whose start lies nearer to the reach below it than its end does.

    An outlet is held against the reaches above it instead, which should touch its start.
    """
    reaches, network = drafts["reaches"], catchment.network
    if reaches.geometry is None:
        return
    lines = reaches.geometry
    above: list[list[int]] = [[] for _ in lines]
    for reach, first in enumerate(network.first_arm[:-1]):
        for below in network.arm_reach[first : network.first_arm[reach + 1]]:
            above[below].append(reach)
    for reach, first in enumerate(network.first_arm[:-1]):
        arms = network.arm_reach[first : network.first_arm[reach + 1]].tolist()
        turned = (
            all(_start_nearer(lines[reach], lines[arm]) for arm in arms)
            if arms
            else bool(above[reach])
            and all(not _start_nearer(lines[reach], lines[each], tie=True) for each in above[reach])
        )
        if turned:
            reaches.warn(
                reach,
                "geometry",
                "drawn_upstream",
                "its line seems drawn upstream; chainage runs from the line's start: turn it round",
            )


@lru_cache(PAIRS_REMEMBERED)
def _start_nearer(line: Any, other: Any, *, tie: bool = False) -> bool:
    """Whether a line's start lies nearer to the nearest end of another than its own end does."""
    theirs = _ends(other)
    from_start_m, from_end_m = (
        WGS84.inv(np.full(2, lon), np.full(2, lat), theirs[:, 0], theirs[:, 1])[2].min()
        for lon, lat in _ends(line)
    )
    return bool(from_start_m < from_end_m or (tie and from_start_m == from_end_m))


def _ends(line: Any) -> NDArray[np.float64]:
    """(2, 2) longitude and latitude of a line's first and last point."""
    return shapely.get_coordinates(line)[[0, -1]]


def warn_of_draws_between(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn where flow by area leaves out what is drawn between the reach and its gauge.

    Counted are offtakes on the reaches that lie on a way between the two, and those on the
    gauge's own reach on the side towards the reach.
    """
    reaches, gauges = drafts["reaches"], drafts["gauges"]
    if reaches.geometry is None or gauges.geometry is None:
        return
    by_area = np.flatnonzero(np.isnan(reaches.number("flow_scale")))
    steps = _Steps(catchment)
    median_m3s = median_flow_m3s(catchment, drafts)
    links = gauge_index(drafts)
    tree = shapely.STRtree(reaches.geometry)
    for gauge in np.unique(links[by_area]):
        point = gauges.geometry[gauge]
        at, distance_m = nearest_line(point, list(reaches.geometry), tree, GAUGE_NEAR_M)
        if distance_m > GAUGE_NEAR_M:
            continue
        chainage_m = snap(point, reaches.geometry[at])[1] * catchment.length_m[at]
        drawn_m3s = {
            **steps.drawn_m3s(at, chainage_m, upstream=False),
            **steps.drawn_m3s(at, chainage_m, upstream=True),
        }
        for reach in by_area[links[by_area] == gauge].tolist():
            between_m3s = drawn_m3s.get(reach, 0.0)
            if between_m3s > SHARE_OF_MEDIAN_FLOW * median_m3s[reach]:
                reaches.warn(
                    reach,
                    "flow_scale",
                    "draws_between",
                    f"offtakes between it and its gauge can draw {between_m3s:.3g} m3/s, over "
                    "10 % of its median flow; areas do not tell of that: better give flow_scale",
                )


class _Steps:
    """The network's steps down and up, and what is drawn along them."""

    def __init__(self, catchment: Catchment) -> None:
        network = catchment.network
        n_reaches = len(network.first_arm) - 1
        self.down: list[set[int]] = [
            set(network.arm_reach[network.first_arm[j] : network.first_arm[j + 1]].tolist())
            for j in range(n_reaches)
        ]
        self.up: list[set[int]] = [set() for _ in range(n_reaches)]
        for reach, arms in enumerate(self.down):
            for arm in arms:
                self.up[arm].add(reach)
        self.catchment = catchment
        self.capacity_m3s = catchment.table("offtakes").number("capacity_m3s")
        self.of_reach_m3s = np.bincount(
            catchment.reach_index, self.capacity_m3s, minlength=n_reaches
        )

    def drawn_m3s(self, at: int, chainage_m: float, *, upstream: bool) -> dict[int, float]:
        """Sum capacities between a gauge and each reach above it, or below it.

        Parameters
        ----------
        at, chainage_m : where the gauge stands.

        Returns
        -------
        m3/s by reach; the gauge's own reach is not among them.
        """
        towards, away = (self.down, self.up) if upstream else (self.up, self.down)
        side = reachable(away, [at])
        before = self.catchment.chainage_m < chainage_m
        own = (self.catchment.reach_index == at) & (before if upstream else ~before)
        drawn = {at: float(self.capacity_m3s[own].sum())}
        order = self.catchment.network.order
        for reach in (order[::-1] if upstream else order).tolist():
            if reach not in side or reach == at:
                continue
            steps = towards[reach] & side
            if len(steps) == 1:
                step = steps.pop()
                drawn[reach] = drawn[step] + (self.of_reach_m3s[step] if step != at else 0.0)
            else:  # several ways, which meet again: count each reach on them once
                between = (reachable(towards, [reach]) & side) - {reach, at}
                drawn[reach] = drawn[at] + float(self.of_reach_m3s[list(between)].sum())
        del drawn[at]
        return drawn
