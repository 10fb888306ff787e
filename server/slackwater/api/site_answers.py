"""What is asked of one offtake, and of the data behind all: why, routes, warnings."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from starlette.exceptions import HTTPException

from slackwater.api import answers
from slackwater.api.least_role import least
from slackwater.api.looking import Here, Looks
from slackwater.desk.map_view import MapView
from slackwater.desk.warnings_shown import may_read_warnings
from slackwater.people.roles import Least

NO_SUCH_OFFTAKE = "There is no such offtake here."
NOT_FOR_THE_PUBLIC = "Warnings about the data are for the agency."


def answer_sites(app: FastAPI) -> None:
    """Add the endpoints of one offtake and of the data's warnings."""

    @app.get(
        "/api/offtakes/{offtake_id:path}/why",
        response_model=answers.Why,
        response_model_exclude_unset=True,
        **least(Least.PUBLIC),
    )
    def why(here: Here, offtake_id: str, viewer: Looks) -> Any:
        """Everything that its rank is made of, as far as the viewer may see it."""
        return here.why(_row_of(here.view, offtake_id), viewer)

    @app.get(
        "/api/offtakes/{offtake_id:path}/routes",
        response_model=answers.Routes,
        **least(Least.PUBLIC),
    )
    def routes(here: Here, offtake_id: str, viewer: Looks) -> Any:
        """Reaches its drifters come from, and where they would have settled."""
        return here.view.routes(_row_of(here.view, offtake_id), viewer)

    @app.get("/api/findings", response_model=answers.Findings, **least(Least.VIEWER))
    def findings(here: Here, viewer: Looks) -> Any:
        """Warnings about the data (least role: agency)."""
        if not may_read_warnings(viewer):
            raise HTTPException(403, NOT_FOR_THE_PUBLIC)
        return here.view.findings(viewer)


def _row_of(view: MapView, offtake_id: str) -> int:
    row = view.offtake_row(offtake_id)
    if row is None:  # what was asked for is not repeated: it may be anything
        raise HTTPException(404, NO_SUCH_OFFTAKE)
    return row
