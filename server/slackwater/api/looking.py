"""Who looks, and at which edition? What every endpoint takes from its request."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Query, Request
from starlette.exceptions import HTTPException
from starlette.types import Scope

from slackwater.desk.long_work import LongWorks
from slackwater.desk.showing import Showing, Shown
from slackwater.desk.visibility import Viewer
from slackwater.desk.working import Working
from slackwater.errors import ReadOnly

FOR_THE_LEAD = "The register and what is planned on it hold private data, for the lead alone."

As = Annotated[
    Viewer, Query(alias="as", description="look as someone who may see less (least role: lead)")
]
InCase = Annotated[str, Query(description="id of a saved case: its data, as it stood")]


def showing_of(scope: Scope) -> Showing:
    """Give whoever knows which edition is to be shown."""
    showing: Showing = scope["app"].state.showing
    return showing


def _shown(request: Request, case: InCase = "") -> Shown:
    return showing_of(request.scope).of(case)


Here = Annotated[Shown, Depends(_shown)]
"""The edition a request asks about."""


def _working(request: Request, viewer: As = Viewer.LEAD) -> Working:
    showing = showing_of(request.scope)
    if not isinstance(showing, Working):
        raise ReadOnly
    if viewer is not Viewer.LEAD:
        raise HTTPException(403, FOR_THE_LEAD)
    return showing


def works_of(request: Request) -> LongWorks:
    """Give all long work of the service."""
    works: LongWorks = request.app.state.works
    return works


Works = Annotated[LongWorks, Depends(works_of)]
"""The long work that is looked at under ``/api/work``."""
WorkingHere = Annotated[Working, Depends(_working)]
"""The database behind the service (least role: lead); 404 where a file is served."""
