"""What the map and the list ask for: the catchment, its rivers and every offtake at once."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from slackwater.api import answers
from slackwater.api.least_role import least
from slackwater.api.looking import Here, InCase, Looks
from slackwater.desk.map_view import Detail
from slackwater.desk.year_views import YearView
from slackwater.people.roles import Least


def answer_map(app: FastAPI) -> None:
    """Add the endpoints of the whole catchment."""

    @app.get(
        "/api/catchment",
        response_model=answers.CatchmentFacts,
        response_model_exclude_unset=True,
        **least(Least.PUBLIC),
    )
    def catchment(here: Here, viewer: Looks, case: InCase = "") -> Any:
        """Name, versions, years, criteria and bounds."""
        return here.facts(viewer, case)

    @app.get(
        "/api/offtakes",
        response_model=answers.Offtakes,
        response_model_exclude_unset=True,
        **least(Least.PUBLIC),
    )
    def offtakes(here: Here, viewer: Looks) -> Any:
        """Every offtake's numbers, as far as the viewer may see them."""
        return here.view.offtakes(viewer)

    @app.get(
        "/api/losses",
        response_model=answers.Losses,
        response_model_exclude_unset=True,
        **least(Least.PUBLIC),
    )
    def losses(
        here: Here, viewer: Looks, year: YearView = YearView.MEAN, guild: str = "all"
    ) -> Any:
        """Loss and gain in dry, median or wet years, of one guild or all; never score or rank."""
        return here.view.losses(year, guild, viewer)

    _answer_land(app)


def _answer_land(app: FastAPI) -> None:
    """Add what is drawn under the offtakes."""

    @app.get("/api/reaches", response_model=answers.Reaches, **least(Least.PUBLIC))
    def reaches(here: Here, viewer: Looks, detail: Detail = Detail.FULL) -> Any:
        """Rivers with their mean flow; an overview has as many points as show with all in view."""
        return here.view.reaches(viewer, detail)

    @app.get("/api/places", response_model=answers.Places, **least(Least.PUBLIC))
    def places(here: Here, viewer: Looks) -> Any:
        """Towns and villages."""
        return here.view.places(viewer)

    @app.get("/api/land", response_model=answers.Land, **least(Least.PUBLIC))
    def land(here: Here, viewer: Looks) -> Any:
        """Towns, forests, wetlands and districts as areas."""
        return here.view.land(viewer)

    @app.get("/api/roads", response_model=answers.Roads, **least(Least.PUBLIC))
    def roads(here: Here, viewer: Looks) -> Any:
        """Roads."""
        return here.view.roads(viewer)

    @app.get(
        "/api/relief.png",
        response_class=Response,
        responses={200: {"content": {"image/png": {}}}},
        **least(Least.PUBLIC),
    )
    def relief(here: Here) -> Response:
        """The picture of the relief."""
        if here.view.relief is None:
            raise HTTPException(404, "This catchment has no relief picture.")
        return Response(here.view.relief.png, media_type="image/png")
