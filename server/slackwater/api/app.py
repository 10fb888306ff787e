"""The service: which addresses there are, and what each answers."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import FastAPI, Query
from fastapi.responses import Response
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware

from slackwater import __version__
from slackwater.api import answers
from slackwater.api.errors import handle_errors
from slackwater.api.guards import Guard
from slackwater.api.page import serve_page
from slackwater.desk.map_view import MapView
from slackwater.desk.visibility import Viewer

ERRORS: dict[int | str, dict[str, Any]] = {
    "default": {"model": answers.ErrorAnswer, "description": "Every error has this one shape."}
}
As = Annotated[
    Viewer, Query(alias="as", description="look as someone who may see less (least role: lead)")
]


def create_app(view: MapView) -> FastAPI:
    """Make the service for one opened catchment.

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
    )
    handle_errors(app)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=6)
    app.add_middleware(Guard)
    _answer(app, view)
    serve_page(app)
    return app


def _answer(app: FastAPI, view: MapView) -> None:
    """Add the endpoints."""

    @app.get("/api/catchment", response_model=answers.CatchmentFacts)
    def catchment() -> Any:
        """Name, versions, years and bounds."""
        return view.facts()

    @app.get("/api/reaches", response_model=answers.Reaches)
    def reaches(viewer: As = Viewer.LEAD) -> Any:
        """Rivers with their mean flow."""
        return view.reaches(viewer)

    @app.get("/api/offtakes", response_model=answers.Offtakes, response_model_exclude_unset=True)
    def offtakes(viewer: As = Viewer.LEAD) -> Any:
        """Every offtake's numbers, as far as the viewer may see them."""
        return view.offtakes(viewer)

    @app.get("/api/places", response_model=answers.Places)
    def places(viewer: As = Viewer.LEAD) -> Any:
        """Towns and villages."""
        return view.places(viewer)

    @app.get("/api/land", response_model=answers.Land)
    def land(viewer: As = Viewer.LEAD) -> Any:
        """Towns, forests, wetlands and districts as areas."""
        return view.land(viewer)

    @app.get("/api/roads", response_model=answers.Roads)
    def roads(viewer: As = Viewer.LEAD) -> Any:
        """Roads."""
        return view.roads(viewer)

    @app.get(
        "/api/relief.png", response_class=Response, responses={200: {"content": {"image/png": {}}}}
    )
    def relief() -> Response:
        """The picture of the relief."""
        if view.relief is None:
            raise HTTPException(404, "This catchment has no relief picture.")
        return Response(view.relief.png, media_type="image/png")
