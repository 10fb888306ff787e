"""How is a drawn map kept, so that it comes out the same years later? As plain values, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from slackwater.reports.map_drawing import (
    DrawnRiver,
    DrawnSign,
    FlowSample,
    MapDrawing,
    ScaleBar,
)
from slackwater.reports.names_placed import Placed
from slackwater.reports.signs import LegendEntry, Sign

DECIMALS = 3
"""Of millimetres; paper shows two."""


def kept_drawing(drawing: MapDrawing) -> dict[str, Any]:
    """Give a drawing as plain JSON values, millimetres rounded to a thousandth."""
    kept: dict[str, Any] = _plain(asdict(drawing))
    return kept


def drawing_of(kept: Mapping[str, Any]) -> MapDrawing:
    """Give the drawing that was kept."""
    signs = ({**each, "sign": Sign(each["sign"])} for each in kept["signs"])
    legend = ({**each, "sign": Sign(each["sign"])} for each in kept["legend"])
    return MapDrawing(
        width_mm=kept["width_mm"],
        height_mm=kept["height_mm"],
        rivers=tuple(DrawnRiver(**each) for each in kept["rivers"]),
        towns=tuple((x, y) for x, y in kept["towns"]),
        signs=tuple(DrawnSign(**each) for each in signs),
        names=tuple(Placed(**{**each, "leader": _leader(each)}) for each in kept["names"]),
        legend=tuple(LegendEntry(**each) for each in legend),
        flows=tuple(FlowSample(**each) for each in kept["flows"]),
        scale_bar=ScaleBar(**kept["scale_bar"]),
        alternative=kept["alternative"],
    )


def _leader(name: Mapping[str, Any]) -> tuple[tuple[float, float], tuple[float, float]] | None:
    if name["leader"] is None:
        return None
    (x, y), (to_x, to_y) = name["leader"]
    return (x, y), (to_x, to_y)


def _plain(value: Any) -> Any:
    """Give a value as JSON reads it back: lists, plain words, rounded numbers."""
    if isinstance(value, Mapping):
        return {name: _plain(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Sign):
        return value.value
    return round(float(value), DECIMALS) if isinstance(value, float) else value
