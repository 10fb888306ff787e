"""One meeting for the tests of a module, each of which leaves it as it found it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from slackwater.desk.working import Working
from tests.contracts.in_a_hall import BUDGET, twelve
from tests.contracts.meeting.hall import Hall, Service
from tests.contracts.small_register import working_on
from tests.journeys.meeting.served import MeetingServed, meeting_served, shared_case


@pytest.fixture(scope="module")
def on(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MeetingServed]:
    """A meeting on a case of twelve offtakes, over HTTP on this machine."""
    with meeting_served(tmp_path_factory.mktemp("meeting"), of=twelve(), budget=BUDGET) as served:
        yield served


@pytest.fixture(scope="module")
def working(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Working]:
    """A database of the twelve offtakes."""
    made = working_on(twelve().raw(), tmp_path_factory.mktemp("working") / "twelve.sqlite")
    yield made
    made.close()


@pytest.fixture(scope="module")
def case_id(working: Working) -> str:
    """A shared case in it."""
    return shared_case(working, BUDGET)


@pytest.fixture
def service(working: Working) -> Iterator[Service]:
    """The service, begun anew; its meetings are ended in the end."""
    made = Service(working)
    yield made
    for each in made.client.get("/api/meetings").json()["meetings"]:
        if each["live"]:
            made.client.delete(f"/api/meetings/{each['code']}")


@pytest.fixture
def hall(service: Service, case_id: str) -> Hall:
    """A meeting."""
    return service.opened(case_id)
