"""Where is the built page, and how is it handed out?"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fastapi import FastAPI
from starlette.exceptions import HTTPException
from starlette.responses import FileResponse, Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from slackwater.api.least_role import HandedOut, least
from slackwater.people.roles import Least

PAGE_FOLDER = Path(__file__).parent.parent / "page"
KEEP = "public, max-age=31536000, immutable"


NOT_BUILT = "The page has not been built; scripts/setup builds it."
NO_CACHE = {"Cache-Control": "no-cache"}


class NamedByContent(StaticFiles):
    """Files whose names hold a digest of their content, so that a browser may keep them."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Give one file."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = KEEP
        return response


def serve_page(app: FastAPI, folder: Path = PAGE_FOLDER) -> None:
    """Hand out the page at the root and its parts below ``/assets``."""
    serve_assets(app, folder)

    @app.get("/", include_in_schema=False, **least(Least.ANYONE))
    def page() -> FileResponse:
        return built_file(folder / "index.html", "text/html")


def built_file(
    file: Path, kind: str, headers: Mapping[str, str] = NO_CACHE, not_built: str = NOT_BUILT
) -> FileResponse:
    """Give a file of a page as it was built; 404 in words where it was not."""
    if not file.is_file():
        raise HTTPException(404, not_built)
    return FileResponse(file, media_type=kind, headers=headers)


def serve_assets(app: FastAPI, folder: Path = PAGE_FOLDER) -> None:
    """Hand out the parts of all pages below ``/assets``."""
    assets = NamedByContent(directory=folder / "assets", check_dir=False)
    app.router.routes.append(HandedOut("/assets", assets, Least.ANYONE))

    @app.get("/favicon.ico", include_in_schema=False, **least(Least.ANYONE))
    def icon() -> Response:
        """Say that there is none: pages without a mark of their own are asked for one."""
        return Response(status_code=204, headers={"Cache-Control": "public, max-age=86400"})
