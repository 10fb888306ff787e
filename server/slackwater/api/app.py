"""The service: which addresses there are, and what each answers."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from fastapi import FastAPI
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool
from starlette.middleware.gzip import GZipMiddleware

from slackwater import __version__
from slackwater.api import answers
from slackwater.api.bodies import Bounded
from slackwater.api.calling import Known
from slackwater.api.case_answers import answer_cases
from slackwater.api.edit_answers import answer_edits
from slackwater.api.edition import answer_edition
from slackwater.api.entry import Entry
from slackwater.api.errors import handle_errors
from slackwater.api.etag import Tagged
from slackwater.api.field_answers import answer_field
from slackwater.api.field_page import serve_field_page
from slackwater.api.funding_answers import answer_funding
from slackwater.api.guards import Guard
from slackwater.api.guide_answers import answer_guide
from slackwater.api.kept import Kept
from slackwater.api.least_role import least
from slackwater.api.link_answers import answer_links
from slackwater.api.map_answers import answer_map
from slackwater.api.meeting_hall import hold_meetings
from slackwater.api.meeting_here import MeetingDoor
from slackwater.api.meeting_limits import Mannered
from slackwater.api.meeting_opening import answer_meetings
from slackwater.api.offer_answers import answer_offers
from slackwater.api.ogc.features_answers import answer_features
from slackwater.api.oidc_answers import answer_oidc
from slackwater.api.page import serve_page
from slackwater.api.paper_answers import answer_paper
from slackwater.api.people_answers import answer_people
from slackwater.api.rate_limits import Limits
from slackwater.api.sign_in_answers import answer_sign_in
from slackwater.api.site_answers import answer_sites
from slackwater.api.token_answers import answer_tokens
from slackwater.api.upload_answers import answer_uploads
from slackwater.api.visit_answers import answer_visits
from slackwater.desk.long_work import LongWorks
from slackwater.desk.meeting.rooms import Rooms
from slackwater.desk.showing import Showing
from slackwater.desk.working import Working
from slackwater.people.roles import Least

ERRORS: dict[int | str, dict[str, Any]] = {
    "4XX": {"model": answers.ErrorAnswer, "description": "Refused; every error has this shape."},
    503: {"model": answers.ErrorAnswer, "description": "The database does not answer just now."},
}
"""All that an address may answer beside what went well; anything else is undeclared."""


WITHOUT_ACCOUNTS = Entry()


def create_app(showing: Showing, entry: Entry = WITHOUT_ACCOUNTS) -> FastAPI:
    """Make the service for one catchment, read from a file or worked on.

    Without accounts whoever reaches the service is its lead, so it listens on this machine alone
    (`slackwater.api.serve`); ``as`` narrows what is shown.
    """
    app = FastAPI(
        title="Slackwater",
        version=__version__,
        description="Ranks river offtakes for fish-protection screens.",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        responses=ERRORS,
        lifespan=_to_the_end,
    )
    app.state.showing = showing
    app.state.entry, app.state.accounts = entry, entry.accounts
    app.state.works = LongWorks()
    app.state.leaving = lambda: False  # whoever runs the service says when it is told to end
    handle_errors(app)
    app.add_middleware(Tagged)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=6)
    app.add_middleware(Kept)
    app.add_middleware(Bounded)
    app.add_middleware(Mannered)
    app.add_middleware(Known, entry=entry, limits=Limits())
    app.add_middleware(Guard, outside=entry.outside)
    answer_map(app)
    answer_sites(app)
    answer_funding(app)
    answer_edition(app)
    answer_edits(app)
    answer_uploads(app)
    answer_cases(app)
    answer_offers(app)
    answer_visits(app)
    answer_field(app)
    answer_paper(app)
    answer_links(app)
    answer_oidc(app)
    answer_people(app)
    answer_sign_in(app)
    answer_tokens(app)
    answer_features(app)
    answer_meetings(app)
    _hold_meetings(app, showing, entry)
    answer_guide(app)
    _describe(app)
    serve_page(app)
    serve_field_page(app)
    return app


def _hold_meetings(app: FastAPI, showing: Showing, entry: Entry) -> None:
    """Add meetings; phones reach them where a proxy serves this page to others."""
    rooms = Rooms(showing) if isinstance(showing, Working) else None
    hold_meetings(app, rooms, MeetingDoor(f"https://{entry.outside}" if entry.outside else ""))


def _describe(app: FastAPI) -> None:
    """Add the API's own description, which holds nothing of any catchment."""

    @app.get("/api/openapi.json", include_in_schema=False, **least(Least.ANYONE))
    def description() -> JSONResponse:
        return JSONResponse(app.openapi())


@asynccontextmanager
async def _to_the_end(app: FastAPI) -> AsyncIterator[None]:
    """Leave nothing behind of what was sent, and the database as one whole file."""
    yield
    await run_in_threadpool(app.state.works.close)
    app.state.uploads.close()
    showing = app.state.showing
    if isinstance(showing, Working):
        await run_in_threadpool(showing.close)
