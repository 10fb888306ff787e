"""What lies on the map: rivers, areas, roads and towns."""

from __future__ import annotations

from pydantic import Field

from slackwater.api.answers.shape import Answer, like

_LINE = {"row": [0], "points": [2], "lon": [1000000, 5000], "lat": [5002000, -2000]}


class Lines(Answer):
    """Lines or rings: values of all but ``points`` are steps from the one before."""

    row: list[int] = Field(description="table row each line belongs to")
    points: list[int] = Field(description="points in each line")
    lon: list[int]
    lat: list[int]
    name: list[str]


class Reaches(Lines):
    """The rivers."""

    model_config = like({**_LINE, "name": ["Upper"], "reach_id": ["up"], "mean_flow_m3s": [11.9]})

    reach_id: list[str]
    mean_flow_m3s: list[float] = Field(description="mean of the recorded days, for line widths")


class Land(Lines):
    """Areas of land."""

    model_config = like({**_LINE, "name": ["North"], "kind": ["district"]})

    kind: list[str]


class Roads(Lines):
    """Roads."""

    model_config = like({**_LINE, "name": ["High road"], "class": ["main"]})

    class_: list[str] = Field(alias="class")


class Places(Answer):
    """Towns and villages."""

    model_config = like({"lon": [1010000], "lat": [5002000], "name": ["Town"], "size": [2]})

    lon: list[int]
    lat: list[int]
    name: list[str]
    size: list[int]
