"""Public links of a shared case: made and ended by the lead, opened by whoever has one.

Whether a link holds is asked of the accounts each time it is opened, before anything that was kept.
"""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.responses import HTMLResponse, Response

from slackwater.api import answers
from slackwater.api.calling import Calls
from slackwater.api.entry import Entry
from slackwater.api.least_role import least
from slackwater.api.looking import WorkingHere
from slackwater.api.own_account import AccountsHere
from slackwater.api.plain_page import KEPT_BY_NOBODY, LOOK, plain_page
from slackwater.desk.shared_pages import SharedPages
from slackwater.desk.working import Working
from slackwater.errors import NotHere
from slackwater.people.roles import Least

GONE = "there is nothing here: this link was never made, was ended, or is past its time"


def answer_links(app: FastAPI) -> None:
    """Add the endpoints of links, and the pages they lead to."""

    @app.get("/api/cases/{case_id}/links", response_model=answers.Links, **least(Least.LEAD))
    def listed(accounts: AccountsHere, _: WorkingHere, case_id: answers.Id) -> Any:
        """The links of a case, without what they are known by."""
        return {"links": accounts.links_of(case_id)}

    @app.post("/api/cases/{case_id}/links", response_model=answers.LinkMade, **least(Least.LEAD))
    def make(
        accounts: AccountsHere,
        _: WorkingHere,
        caller: Calls,
        case_id: answers.Id,
        asked: answers.LinkAsked,
    ) -> Any:
        """Make a link to a shared case; its address is told in this answer and never again."""
        link = accounts.link_case(case_id, asked.days, caller.name)
        secret = link.pop("secret")
        return {**link, "address": f"/shared/{secret}"}

    @app.delete("/api/links/{link_id}", status_code=204, **least(Least.LEAD))
    def end(accounts: AccountsHere, _: WorkingHere, link_id: answers.ShortText) -> None:
        """End a link; it opens nothing from now on."""
        accounts.end_link(link_id)

    _answer_shared(app)


def _answer_shared(app: FastAPI) -> None:
    entry: Entry = app.state.entry
    showing = app.state.showing
    pages = SharedPages(showing) if isinstance(showing, Working) else None

    @app.get("/shared/{secret}", include_in_schema=False, **least(Least.ANYONE))
    def page(secret: str) -> HTMLResponse:
        try:
            found, case_id = _opened(entry, pages, secret)
            html = found.page(case_id, f"/shared/{secret}/map.html", LOOK)
        except NotHere:
            return _gone()
        return HTMLResponse(html, headers=KEPT_BY_NOBODY)

    @app.get("/shared/{secret}/map.html", include_in_schema=False, **least(Least.ANYONE))
    def map_file(secret: str) -> Response:
        try:
            found, case_id = _opened(entry, pages, secret)
            saved = found.map(case_id)
        except NotHere:
            return _gone()
        said = {"Content-Disposition": f'attachment; filename="{saved.name}"', **KEPT_BY_NOBODY}
        return Response(saved.content, media_type="text/html; charset=utf-8", headers=said)


def _opened(entry: Entry, pages: SharedPages | None, secret: str) -> tuple[SharedPages, str]:
    """Give the pages and the case a link leads to; NotHere, told alike, where it does not hold."""
    if entry.accounts is None or pages is None:
        raise NotHere(GONE)
    return pages, entry.accounts.case_of_link(secret)


def _gone() -> HTMLResponse:
    answer = plain_page("Nothing here", GONE, 404)
    answer.headers.update(KEPT_BY_NOBODY)
    return answer
