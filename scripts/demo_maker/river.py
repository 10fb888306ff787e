"""What is a river here: a line, what it joins, and the points where others meet it."""

from dataclasses import dataclass, field
from functools import cached_property

from shapely.geometry import LineString

from .frame import Floats


@dataclass
class River:
    """One line downstream; `joins` and `leaves` are positions of rivers (-1 none), with points."""

    line_km: Floats
    joins: int
    leaves: int = -1
    joints_km: list[Floats] = field(default_factory=list)

    @cached_property
    def shape(self) -> LineString:
        return LineString(self.line_km)
