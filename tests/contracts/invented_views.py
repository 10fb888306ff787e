"""Views of catchments invented from a seed, made once and shared by the tests of the desk."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk.evaluation import evaluate
from slackwater.desk.map_view import MapView
from slackwater.desk.opening import open_catchment
from slackwater.desk.showing import AsRead
from tests.reference.catchments import generate

HERE = "http://127.0.0.1:8765"
SEEDS = (0, 1, 2, 5, 7, 8, 11)
"""Among them: committed and quoted sites, meters, seasons from July, further criteria."""


@cache
def invented_view(seed: int) -> MapView:
    """Give the view of one invented catchment."""
    with tempfile.TemporaryDirectory() as folder:
        generate(Path(folder), seed)
        opened = open_catchment(Path(folder))
    return MapView(
        evaluate(opened.catchment), tuple(opened.warnings), None, datetime(2026, 1, 2, tzinfo=UTC)
    )


def client_of(view: MapView) -> TestClient:
    """Give a client of the service for a view."""
    return TestClient(create_app(AsRead(view)), base_url=HERE, raise_server_exceptions=False)
