"""Where are the sites and the depots, and which roads lead there?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.desk.field.ground_near import place_of
from slackwater.errors import UsageError
from slackwater.visits.road_net import RoadNet
from slackwater.visits.travel import Driving, Travel, travel_between

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Places:
    """The places of a catchment that field days know."""

    catchment: Catchment

    @cached_property
    def sites(self) -> Numbers:
        """(offtakes, 2) longitude and latitude; NaN where nothing says where a site is."""
        keys = self.catchment.table("offtakes").keys
        nowhere = (np.nan, np.nan)
        return np.array([place_of(self.catchment, code) or nowhere for code in keys])

    @cached_property
    def depots(self) -> dict[str, tuple[float, float]]:
        """Name -> longitude and latitude of each depot, in the table's order."""
        depots = self.catchment.table("depots")
        points = depots.geometry if depots.geometry is not None else ()
        named = zip(depots.text("name").tolist(), points, strict=False)
        return {str(name): (point.x, point.y) for name, point in named if point is not None}

    @cached_property
    def roads(self) -> RoadNet | None:
        """The roads; None where none are known."""
        roads = self.catchment.table("roads")
        lines = roads.geometry if roads.geometry is not None else ()
        coded = [np.zeros((0, 2)) if each is None else shapely.get_coordinates(each)
                 for each in lines]  # fmt: skip
        drawn = [at for at, line in enumerate(coded) if len(line) > 1]
        if not drawn:
            return None
        return RoadNet([coded[at] for at in drawn], roads.number("speed_kmh")[drawn])

    def depot(self, name: str, lonlat: tuple[float, float] | None) -> tuple[float, float]:
        """Give where days start: a depot by name, a place, else the first depot there is.

        Raises
        ------
        UsageError
            Where there is no such depot, or none at all.
        """
        if lonlat is not None:
            return lonlat
        if name and name not in self.depots:
            raise UsageError(f"there is no depot {name!r} here")
        if not self.depots:
            raise UsageError("no depot is known here: say where the days start")
        return self.depots[name] if name else next(iter(self.depots.values()))

    def start(self, name: str, lonlat: tuple[float, float] | None) -> dict[str, Any]:
        """Give the depot with its name, "" for a place that is none."""
        lon, lat = self.depot(name, lonlat)
        known = name or ("" if lonlat is not None else next(iter(self.depots)))
        return {"name": "" if lonlat is not None else known, "lon": lon, "lat": lat}

    def travel(self, rows: Positions, depot: tuple[float, float], driving: Driving) -> Travel:
        """Give the ways between some sites and a depot, which comes last."""
        return travel_between(np.vstack((self.sites[rows], depot)), self.roads, driving)
