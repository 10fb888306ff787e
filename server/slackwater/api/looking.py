"""Who looks? The one query parameter that narrows what is shown."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query

from slackwater.desk.visibility import Viewer

As = Annotated[
    Viewer, Query(alias="as", description="look as someone who may see less (least role: lead)")
]
