"""The guide in the browser: its pages as HTML with their own small style sheet."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from slackwater.api import answers
from slackwater.api.least_role import least
from slackwater.desk.guide import guide_html, guide_look, guide_pages
from slackwater.people.roles import Least

FIRST_PAGE = "/guide/methods"
REVALIDATE = {"Cache-Control": "no-cache"}


def answer_guide(app: FastAPI) -> None:
    """Add the guide; it holds nothing of any catchment, so everyone may read it."""

    @app.get("/api/guide", response_model=answers.GuidePages, **least(Least.ANYONE))
    def pages() -> Any:
        """Pages of the guide."""
        return {"pages": guide_pages()}

    @app.get("/guide", include_in_schema=False, **least(Least.ANYONE))
    def first() -> RedirectResponse:
        return RedirectResponse(FIRST_PAGE)

    @app.get("/guide/look.css", include_in_schema=False, **least(Least.ANYONE))
    def look() -> Response:
        return Response(guide_look(), media_type="text/css", headers=REVALIDATE)

    @app.get("/guide/{page}", include_in_schema=False, **least(Least.ANYONE))
    def page(page: str) -> HTMLResponse:
        if page not in {each["page"] for each in guide_pages()}:
            raise HTTPException(404, "There is no such page in the guide.")
        return HTMLResponse(guide_html(page), headers=REVALIDATE)
