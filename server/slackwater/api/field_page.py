"""Where is the page of a field officer's phone, and how is it handed out?

It holds no data: anyone may load it, and a browser keeps it for use without a connection. What it
shows it asks for like any other page.
"""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI
from starlette.responses import FileResponse

from slackwater.api.least_role import least
from slackwater.api.page import NO_CACHE, PAGE_FOLDER, built_file
from slackwater.people.roles import Least

WORKER = {**NO_CACHE, "Service-Worker-Allowed": "/field"}
"""The worker's file lies below the page that it keeps."""


def serve_field_page(app: FastAPI, folder: Path = PAGE_FOLDER) -> None:
    """Hand out the phone's page, its worker and its manifest (least role: anyone)."""

    @app.get("/field", include_in_schema=False, **least(Least.ANYONE))
    def phone() -> FileResponse:
        return built_file(folder / "field" / "index.html", "text/html")

    @app.get("/field/sw.js", include_in_schema=False, **least(Least.ANYONE))
    def worker() -> FileResponse:
        return built_file(folder / "field" / "sw.js", "text/javascript", WORKER)

    @app.get("/field/manifest.webmanifest", include_in_schema=False, **least(Least.ANYONE))
    def manifest() -> FileResponse:
        return built_file(folder / "field" / "manifest.webmanifest", "application/manifest+json")
