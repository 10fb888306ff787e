"""A served catchment and a browser for the journeys."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import uvicorn

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.api.listening import address_of, listen
from slackwater.api.page import PAGE_FOLDER
from slackwater.desk.map_view import MapView, open_map_view
from slackwater.desk.showing import AsRead, Showing
from tests.contracts.small_view import small_view
from tests.quick_passwords import quick_passwords

__all__ = ["quick_passwords"]

DEMO = Path(__file__).resolve().parents[2] / "demo_data" / "lantern.gpkg"


@pytest.fixture(scope="session")
def demo_view() -> MapView:
    return open_map_view(DEMO) if DEMO.is_file() else small_view()


@pytest.fixture(scope="session")
def address(demo_view: MapView) -> Iterator[str]:
    """Where the demo is served."""
    assert (PAGE_FOLDER / "index.html").is_file(), "the page is not built; scripts/setup builds it"
    with served(demo_view) as here:
        yield here


@contextmanager
def served(view: MapView) -> Iterator[str]:
    """Serve a view on a free port while the block runs."""
    with serving(AsRead(view)) as here:
        yield here


@contextmanager
def serving(showing: Showing, entry: Entry = Entry()) -> Iterator[str]:  # noqa: B008 - frozen
    """Serve whatever is to be shown, likewise."""
    with listen("127.0.0.1", 0) as listener:
        app = create_app(showing, entry)
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        try:
            yield address_of(listener)
        finally:
            server.should_exit = True
            thread.join(timeout=20)


@pytest.fixture(scope="session")
def work_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where a database of the demo is served, for tests that leave the data themselves alone."""
    from tests.journeys.at_work import at_work  # it stands on this module

    with at_work(tmp_path_factory.mktemp("work")) as here:
        yield here
