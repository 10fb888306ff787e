"""The service: which addresses there are, and what each answers."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.middleware.gzip import GZipMiddleware

from slackwater import __version__
from slackwater.api import answers
from slackwater.api.bodies import Bounded
from slackwater.api.case_answers import answer_cases
from slackwater.api.edit_answers import answer_edits
from slackwater.api.edition import answer_edition
from slackwater.api.errors import handle_errors
from slackwater.api.etag import Tagged
from slackwater.api.funding_answers import answer_funding
from slackwater.api.guards import Guard
from slackwater.api.guide_answers import answer_guide
from slackwater.api.kept import Kept
from slackwater.api.map_answers import answer_map
from slackwater.api.offer_answers import answer_offers
from slackwater.api.page import serve_page
from slackwater.api.paper_answers import answer_paper
from slackwater.api.site_answers import answer_sites
from slackwater.api.upload_answers import answer_uploads
from slackwater.desk.long_work import LongWorks
from slackwater.desk.showing import Showing
from slackwater.desk.working import Working

ERRORS: dict[int | str, dict[str, Any]] = {
    "default": {"model": answers.ErrorAnswer, "description": "Every error has this one shape."}
}


def create_app(showing: Showing, outside: str = "") -> FastAPI:
    """Make the service for one catchment, read from a file or worked on.

    There are no accounts yet: who reaches the service is its lead, so it listens on this machine
    alone (`slackwater.api.serve`); ``as`` narrows what is shown.
    """
    app = FastAPI(
        title="Slackwater",
        version=__version__,
        description="Ranks river offtakes for fish-protection screens.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        responses=ERRORS,
        lifespan=_to_the_end,
    )
    app.state.showing = showing
    app.state.works = LongWorks()
    app.state.leaving = lambda: False  # whoever runs the service says when it is told to end
    handle_errors(app)
    app.add_middleware(Tagged)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=6)
    app.add_middleware(Kept)
    app.add_middleware(Bounded)
    app.add_middleware(Guard, outside=outside)
    answer_map(app)
    answer_sites(app)
    answer_funding(app)
    answer_edition(app)
    answer_edits(app)
    answer_uploads(app)
    answer_cases(app)
    answer_offers(app)
    answer_paper(app)
    answer_guide(app)
    serve_page(app)
    return app


@asynccontextmanager
async def _to_the_end(app: FastAPI) -> AsyncIterator[None]:
    """Leave nothing behind of what was sent, and the database as one whole file."""
    yield
    app.state.uploads.close()
    showing = app.state.showing
    if isinstance(showing, Working):
        await run_in_threadpool(showing.close)
