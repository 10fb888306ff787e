"""Where on which reach does each offtake stand, and how much does it use?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.catchment.draft import GEOMETRY, Draft, Mask
from slackwater.catchment.placing import geodesic_length_m, nearest_line, snap
from slackwater.catchment.use import monthly_use

ROUNDING = 1e-9
SEARCH_AT_MOST_M = 10_000.0
"""Width of the first search for the nearest reach; it widens where nothing is found."""


@dataclass(frozen=True)
class Places:
    """(reaches,) lengths; (offtakes,) reach (-1 unknown) and chainage (NaN unknown)."""

    length_m: NDArray[np.float64]
    reach_index: NDArray[np.int64]
    chainage_m: NDArray[np.float64]


def check_places(drafts: Mapping[str, Draft], snap_limit_m: float, *, limit_known: bool) -> Places:
    """Place every offtake on its reach, reporting those that cannot be.

    Parameters
    ----------
    limit_known : false where the setting ``snap_limit_m`` is at fault.
    """
    reaches, offtakes = drafts["reaches"], drafts["offtakes"]
    if reaches.readable and offtakes.readable and not len(offtakes):
        offtakes.fault_whole("no_offtakes", "give at least one offtake")
    length_m = _check_lengths(reaches)
    placing = _Placing(reaches, offtakes, length_m, snap_limit_m if limit_known else np.inf)
    found = [placing.place(position) for position in range(len(offtakes))]
    reach_index = np.array([reach for reach, _ in found], np.int64)
    chainage_m = np.array([chainage for _, chainage in found], np.float64)
    return Places(length_m, reach_index, chainage_m)


def _check_lengths(reaches: Draft) -> NDArray[np.float64]:
    """(reaches,) given or geodesic length, NaN where there is none."""
    length_m = reaches.number("length_m").copy()
    lines = reaches.geometry
    judged = reaches.sound("length_m", GEOMETRY)
    for reach in np.flatnonzero(np.isnan(length_m)):
        line = None if lines is None else lines[reach]
        if line is not None and reaches.sound(GEOMETRY)[reach]:
            length_m[reach] = geodesic_length_m(line)
        elif lines is None and judged[reach]:
            reaches.fault(
                int(reach), "length_m", "no_length", "a sheet carries no line: give length_m"
            )
    return length_m


class _Placing:
    """Places one offtake after another among the same reaches."""

    def __init__(
        self, reaches: Draft, offtakes: Draft, length_m: NDArray[np.float64], limit_m: float
    ) -> None:
        self.reaches, self.offtakes = reaches, offtakes
        self.length_m, self.limit_m = length_m, limit_m
        self.search_m = min(max(limit_m, 1.0), SEARCH_AT_MOST_M)
        n = len(reaches)
        self.lines = reaches.geometry if reaches.geometry is not None else np.full(n, None)
        self.has_line: Mask = ~shapely.is_missing(self.lines) & reaches.sound(GEOMETRY)
        self.numbers = np.flatnonzero(self.has_line)
        self.placed_lines = list(self.lines[self.numbers])
        self.tree = shapely.STRtree(self.placed_lines)
        self.every_line = reaches.readable and reaches.all_sound(GEOMETRY)
        self.chainage_m = offtakes.number("chainage_m")
        self.known = {name: offtakes.sound(name) for name in ("reach_id", GEOMETRY, "chainage_m")}

    def place(self, offtake: int) -> tuple[int, float]:
        """Give reach (-1 unknown) and chainage (NaN unknown) of one offtake."""
        if not self.known["reach_id"][offtake]:
            return -1, np.nan
        reach = int(self.offtakes.links["reach_id"][offtake])
        point = self._point(offtake)
        if reach < 0:
            reach = self._nearest(offtake, point)
        if reach < 0:
            return -1, np.nan
        share = self._share_along(offtake, reach, point)
        return reach, self._chainage(offtake, reach, share)

    def _point(self, offtake: int) -> shapely.Point | None:
        geometry = self.offtakes.geometry
        known = geometry is not None and self.known[GEOMETRY][offtake]
        return geometry[offtake] if geometry is not None and known else None

    def _nearest(self, offtake: int, point: shapely.Point | None) -> int:
        """Give the nearest reach to an offtake that names none, -1 where it cannot be told."""
        if self.reaches.geometry is None:
            if len(self.reaches):
                self.offtakes.fault(
                    offtake, "reach_id", "no_reach", "reaches carry no line: give reach_id"
                )
            return -1
        if point is None or not self.every_line or not len(self.numbers):
            return -1
        which, distance_m = nearest_line(point, self.placed_lines, self.tree, self.search_m)
        reach = int(self.numbers[which])
        if distance_m > self.limit_m:
            self._report_far(offtake, GEOMETRY, reach, distance_m)
            return -1
        return reach

    def _share_along(self, offtake: int, reach: int, point: shapely.Point | None) -> float:
        """Give the share of the reach's length at its nearest point, NaN where it has no line."""
        if point is None or not self.has_line[reach]:
            return np.nan
        distance_m, share = snap(point, self.lines[reach])
        if distance_m > self.limit_m:
            self._report_far(offtake, "reach_id", reach, distance_m)
            return np.nan
        return share

    def _chainage(self, offtake: int, reach: int, share: float) -> float:
        """Give the chainage as given, else snapped."""
        given = float(self.chainage_m[offtake])
        length_m = float(self.length_m[reach])
        if not self.known["chainage_m"][offtake]:
            return np.nan
        if np.isnan(given):
            if self.reaches.geometry is None:
                self.offtakes.fault(
                    offtake,
                    "chainage_m",
                    "no_chainage",
                    "its reach carries no line: give chainage_m",
                )
            return length_m * share
        if given > length_m * (1 + ROUNDING) and self.reaches.sound("length_m")[reach]:
            name = self.reaches.text("reach_id")[reach]
            self.offtakes.fault(
                offtake,
                "chainage_m",
                "chainage_beyond",
                f"at most {length_m:,.1f} m, the length of {name}",
            )
        return given

    def _report_far(self, offtake: int, column: str, reach: int, distance_m: float) -> None:
        name = self.reaches.text("reach_id")[reach]
        which = "its reach" if column == "reach_id" else "the nearest reach,"
        self.offtakes.fault(
            offtake,
            column,
            "far_from_reach",
            f"it lies {distance_m:,.0f} m from {which} {name}, and at most {self.limit_m:g} m "
            "counts as standing on it: correct its place (geometry) or its reach (reach_id), or "
            "raise the limit (snap_limit_m)",
        )


def check_use(offtakes: Draft) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Give monthly use and where it was borrowed, reporting offtakes without a way to it."""
    given = np.column_stack([offtakes.number(name) for name in USE_COLUMNS])
    use_share, assumed = monthly_use(given, offtakes.text("kind"))
    if offtakes.all_sound("kind", *USE_COLUMNS):
        for position in np.flatnonzero(np.isnan(use_share).any(axis=1)):
            offtakes.fault(
                int(position),
                USE_COLUMNS[0],
                "no_use",
                "fill use_01 to use_12, here or at another offtake",
            )
    return use_share, assumed


def check_quotes(offtakes: Draft) -> None:
    """Report a quote that does not say for which option."""
    bare = ~np.isnan(offtakes.number("quote")) & (offtakes.text("quote_option") == "")
    for position in np.flatnonzero(bare & offtakes.sound("quote", "quote_option")):
        offtakes.fault(
            int(position),
            "quote_option",
            "quote_without_option",
            "name the option the quote is for",
        )
