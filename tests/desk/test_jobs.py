"""Long work says how far it is and stops when told."""

from __future__ import annotations

import time

import numpy as np
import pytest

from slackwater.desk.jobs import Job
from slackwater.errors import Cancelled
from slackwater.river.river import River, prepare
from tests.bench.rivers import make_river

REACHES = 20_000
ROUNDS = 40


@pytest.fixture(scope="module")
def river() -> River:
    small = prepare(make_river(50, 1, 32))
    small.worth(np.zeros((1, 1, 5)))  # compiles, so that what is timed below is work
    return prepare(make_river(REACHES, 1, 60))


def test_progress_counts_the_work_that_is_done(river: River) -> None:
    """At the end as many sweeps are done as were known, one a block and assignment."""
    keeps_out = np.zeros((2, 1, REACHES // 10))
    job = Job(lambda progress: river.worth(keeps_out, progress))
    job.result()
    blocks = sum(len(season.blocks) for season in river.seasons)
    assert job.progress.done == job.progress.total == 2 * blocks


def test_cancel_frees_the_processor_within_two_seconds(river: River) -> None:
    """Work told to stop half-way ends within 2 s, and no thread goes on behind it."""
    keeps_out = np.zeros((ROUNDS, 1, REACHES // 10))
    job = Job(lambda progress: river.worth(keeps_out, progress))
    while job.progress.done < 3:
        time.sleep(0.005)
    job.cancel()
    told = time.monotonic()
    assert job.wait(2.0)
    assert time.monotonic() - told < 2.0
    assert job.progress.done < job.progress.total
    with pytest.raises(Cancelled):
        job.result()
    before = time.process_time()
    time.sleep(0.5)
    assert time.process_time() - before < 0.25


def test_a_failure_reaches_whoever_asks() -> None:
    """What the work raises is raised by the result, not lost in a thread."""

    def fails(_progress: object) -> None:
        raise ValueError("as planned")

    with pytest.raises(ValueError, match="as planned"):
        Job(fails).result()
