"""A run's GPX is read back by two independent readers: gpxpy and GDAL (through pyogrio)."""

from __future__ import annotations

from pathlib import Path

import gpxpy
import pyogrio
import pytest

from slackwater.files.gpx import DayRoute, Point, gpx_bytes

YARD = Point("Yard & gate", 142.5, -35.25)
STOPS = (
    Point("A", 142.123456, -35.654321, "day 1, stop 1: Depth <at low level>"),
    Point("Ü-7", 142.2, -35.6, "day 2, stop 1"),
)
DAYS = (
    DayRoute("Run, day 1", (YARD, STOPS[0], YARD)),
    DayRoute("Run, day 2", (YARD, STOPS[1])),
    DayRoute("Run, day 3", (STOPS[1],)),
)
MADE_AT = "2026-03-01T09:30:00Z"


@pytest.fixture(scope="module")
def written() -> bytes:
    return gpx_bytes("Lower “river” <1>", MADE_AT, STOPS, DAYS)


def test_gpxpy_reads_waypoints_and_routes(written: bytes) -> None:
    """Names, places, descriptions and each day's order come back; a day of one place has none."""
    read = gpxpy.parse(written)
    assert read.name == "Lower “river” <1>"
    assert read.version == "1.1"
    assert read.time.isoformat() == "2026-03-01T09:30:00+00:00"
    points = [(p.name, p.longitude, p.latitude, p.description) for p in read.waypoints]
    assert points == [(p.name, p.lon, p.lat, p.about) for p in STOPS]
    routes = [(r.name, [p.name for p in r.points]) for r in read.routes]
    assert routes == [(d.name, [p.name for p in d.points]) for d in DAYS[:2]]
    assert read.routes[0].points[0].longitude == YARD.lon


def test_gdal_reads_waypoints_and_routes(written: bytes, tmp_path: Path) -> None:
    """GDAL's layers hold the same points and lines, in WGS84."""
    path = tmp_path / "run.gpx"
    path.write_bytes(written)
    points = pyogrio.read_dataframe(path, layer="waypoints")
    assert points["name"].tolist() == ["A", "Ü-7"]
    assert points["desc"].tolist() == [stop.about for stop in STOPS]
    assert points.crs.to_epsg() == 4326
    assert [(p.x, p.y) for p in points.geometry] == [(p.lon, p.lat) for p in STOPS]
    routes = pyogrio.read_dataframe(path, layer="routes")
    assert routes["name"].tolist() == ["Run, day 1", "Run, day 2"]
    assert list(routes.geometry[0].coords) == [(p.lon, p.lat) for p in DAYS[0].points]
