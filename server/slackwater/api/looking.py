"""Who looks, and at which edition? What every endpoint takes from its request."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Query, Request
from starlette.exceptions import HTTPException
from starlette.types import Scope

from slackwater.api.calling import Calls, called_in
from slackwater.desk.case_access import require_case
from slackwater.desk.long_work import LongWorks
from slackwater.desk.showing import Showing, Shown
from slackwater.desk.visibility import Viewer, lower
from slackwater.desk.working import Working
from slackwater.errors import ReadOnly
from slackwater.people.roles import Caller, Least

FOR_THE_LEAD = "The register and what is planned on it hold private data, for the lead alone."

As = Annotated[
    Viewer, Query(alias="as", description="look as someone who may see less than the caller")
]
InCase = Annotated[str, Query(description="id of a saved case: its data, as it stood")]


def viewer_of(caller: Caller) -> Viewer:
    """Give which columns a caller may see."""
    if caller.may(Least.LEAD):
        return Viewer.LEAD
    return Viewer.AGENCY if caller.may(Least.VIEWER) else Viewer.PUBLIC


def _looks(caller: Calls, asked: As = Viewer.LEAD) -> Viewer:
    return lower(viewer_of(caller), asked)


Looks = Annotated[Viewer, Depends(_looks)]
"""Who looks: what the caller may see, or less where ``as`` asks for less."""


def showing_of(scope: Scope) -> Showing:
    """Give whoever knows which edition is to be shown."""
    showing: Showing = scope["app"].state.showing
    return showing


def edition_shown(scope: Scope, case: str = "") -> Shown:
    """Give the edition a caller asks about.

    Raises
    ------
    NotHere
        Where there is no such case, or none for this caller: both are told alike.
    """
    showing = showing_of(scope)
    if case and isinstance(showing, Working):
        require_case(showing.register, case, called_in(scope).caller)
    return showing.of(case)


def _shown(request: Request, case: InCase = "") -> Shown:
    return edition_shown(request.scope, case)


Here = Annotated[Shown, Depends(_shown)]
"""The edition a request asks about."""


def _register(request: Request, asked: As = Viewer.LEAD) -> Working:
    showing = showing_of(request.scope)
    if not isinstance(showing, Working):
        raise ReadOnly
    if asked is not Viewer.LEAD:
        raise HTTPException(403, FOR_THE_LEAD)
    return showing


RegisterHere = Annotated[Working, Depends(_register)]
"""The database, for whoever the least role lets in, not looking as someone else."""


def _working(working: RegisterHere, caller: Calls) -> Working:
    if not caller.may(Least.LEAD):  # the least role of the address says so too
        raise HTTPException(403, FOR_THE_LEAD)
    return working


WorkingHere = Annotated[Working, Depends(_working)]
"""The database behind the service (least role: lead); 404 where a file is served."""


def works_of(request: Request) -> LongWorks:
    """Give all long work of the service."""
    works: LongWorks = request.app.state.works
    return works


Works = Annotated[LongWorks, Depends(works_of)]
"""The long work that is looked at under ``/api/work``."""
