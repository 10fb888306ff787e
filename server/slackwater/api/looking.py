"""Who looks, and at which edition? What every endpoint takes from its request."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Query, Request
from starlette.types import Scope

from slackwater.desk.showing import Showing, Shown
from slackwater.desk.visibility import Viewer

As = Annotated[
    Viewer, Query(alias="as", description="look as someone who may see less (least role: lead)")
]


def showing_of(scope: Scope) -> Showing:
    """Give whoever knows which edition is to be shown."""
    showing: Showing = scope["app"].state.showing
    return showing


def _shown(
    request: Request,
    case: Annotated[str, Query(description="id of a saved case: its data, as it stood")] = "",
) -> Shown:
    return showing_of(request.scope).of(case)


Here = Annotated[Shown, Depends(_shown)]
"""The edition a request asks about."""
