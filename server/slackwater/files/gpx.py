"""A run as a GPX file: its stops as waypoints and each day as a route, for any hand-held receiver.

GPX 1.1 as its schema has it: waypoints first, then routes; children of a point in a fixed order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

NAMESPACE = "http://www.topografix.com/GPX/1/1"
DIGITS = 6
"""Decimals of a degree: about a tenth of a metre."""


@dataclass(frozen=True)
class Point:
    """A place on the way."""

    name: str
    lon: float
    lat: float
    about: str = ""


@dataclass(frozen=True)
class DayRoute:
    """One day's places in their order, from where it starts to where it ends."""

    name: str
    points: tuple[Point, ...]


def gpx_bytes(name: str, made_at: str, stops: Sequence[Point], days: Sequence[DayRoute]) -> bytes:
    """Write a run; a day of one place is no line, so it has its waypoint alone.

    Parameters
    ----------
    made_at : ISO moment, UTC, ending in ``Z``.
    """
    ElementTree.register_namespace("", NAMESPACE)
    root = _within(None, "gpx", version="1.1", creator="Slackwater")
    metadata = _within(root, "metadata")
    _within(metadata, "name").text = name
    _within(metadata, "time").text = made_at
    for stop in stops:
        _point(root, "wpt", stop)
    for day in (each for each in days if len(each.points) > 1):
        route = _within(root, "rte")
        _within(route, "name").text = day.name
        for point in day.points:
            _point(route, "rtept", point)
    written: bytes = ElementTree.tostring(root, encoding="UTF-8", xml_declaration=True)
    return written


def _point(parent: ElementTree.Element, kind: str, point: Point) -> None:
    at = {"lat": f"{point.lat:.{DIGITS}f}", "lon": f"{point.lon:.{DIGITS}f}"}
    element = _within(parent, kind, **at)
    _within(element, "name").text = point.name
    if point.about:
        _within(element, "desc").text = point.about


def _within(parent: ElementTree.Element | None, tag: str, **said: str) -> ElementTree.Element:
    """Make an element of the one namespace, below another where one is given."""
    full = f"{{{NAMESPACE}}}{tag}"
    if parent is None:
        return ElementTree.Element(full, said)
    return ElementTree.SubElement(parent, full, said)
