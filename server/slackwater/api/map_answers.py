"""What the map and the list ask for: the catchment, its rivers and every offtake at once."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from slackwater.api import answers
from slackwater.api.looking import As
from slackwater.desk.map_view import Detail, MapView
from slackwater.desk.visibility import Viewer
from slackwater.desk.year_views import YearView


def answer_map(app: FastAPI, view: MapView) -> None:
    """Add the endpoints of the whole catchment."""

    @app.get(
        "/api/catchment",
        response_model=answers.CatchmentFacts,
        response_model_exclude_unset=True,
    )
    def catchment(viewer: As = Viewer.LEAD) -> Any:
        """Name, versions, years, criteria and bounds."""
        return view.facts(viewer)

    @app.get("/api/offtakes", response_model=answers.Offtakes, response_model_exclude_unset=True)
    def offtakes(viewer: As = Viewer.LEAD) -> Any:
        """Every offtake's numbers, as far as the viewer may see them."""
        return view.offtakes(viewer)

    @app.get("/api/losses", response_model=answers.Losses, response_model_exclude_unset=True)
    def losses(year: YearView = YearView.MEAN, guild: str = "all", viewer: As = Viewer.LEAD) -> Any:
        """Loss and gain in dry, median or wet years, of one guild or all; never score or rank."""
        return view.losses(year, guild, viewer)

    _answer_land(app, view)


def _answer_land(app: FastAPI, view: MapView) -> None:
    """Add what is drawn under the offtakes."""

    @app.get("/api/reaches", response_model=answers.Reaches)
    def reaches(viewer: As = Viewer.LEAD, detail: Detail = Detail.FULL) -> Any:
        """Rivers with their mean flow; an overview has as many points as show with all in view."""
        return view.reaches(viewer, detail)

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
