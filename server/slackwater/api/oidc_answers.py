"""Signing in with the organisation's own service: off to the provider, and back.

The way out is a link, the way back a redirect, so neither needs a script. What goes wrong is told
on a plain page.
"""

from __future__ import annotations

from fastapi import FastAPI, Request, Response
from fastapi.responses import RedirectResponse

from slackwater.api.calling import FoundHere
from slackwater.api.entry import Entry
from slackwater.api.least_role import least
from slackwater.api.oidc import OpenIdProvider
from slackwater.api.oidc_description import ProviderFailed
from slackwater.api.oidc_trip import BEGIN_AGAIN, LASTS_S, Trips
from slackwater.api.plain_page import plain_page
from slackwater.api.session_cookie import give_session
from slackwater.errors import NotHere, SignInRefused
from slackwater.people.roles import Least

OUT = "/api/sign-in/oidc"
BACK = "/api/sign-in/oidc/back"
TRIP_COOKIE = "slackwater_trip"
NOT_SIGNED_IN = "Not signed in"


def answer_oidc(app: FastAPI) -> None:
    """Add the two addresses; 404 where no provider is named."""
    entry: Entry = app.state.entry
    provider = OpenIdProvider(entry.oidc) if entry.oidc and entry.accounts else None
    trips = Trips()

    @app.get(OUT, include_in_schema=False, **least(Least.ANYONE))
    def out(request: Request) -> Response:
        if provider is None:
            raise NotHere("no sign-in service is named here")
        trip, cookie = trips.begin()
        try:
            address = provider.begin(trip, _back_of(request, entry))
        except ProviderFailed as failure:
            return _refused(failure, 503)
        answer = RedirectResponse(address, 303)
        answer.set_cookie(
            TRIP_COOKIE,
            cookie,
            max_age=LASTS_S,
            path=OUT,
            secure=bool(entry.outside),
            httponly=True,
            samesite="lax",  # the way back begins on the provider's site
        )
        return answer

    @app.get(BACK, include_in_schema=False, **least(Least.ANYONE))
    def back(
        request: Request, found: FoundHere, state: str = "", code: str = "", iss: str = ""
    ) -> Response:
        accounts = entry.accounts
        if provider is None or accounts is None:
            raise NotHere("no sign-in service is named here")
        try:
            trip = trips.end(request.cookies.get(TRIP_COOKIE, ""), state)
            if not code:
                raise SignInRefused("the sign-in service did not let you in, or you turned back")
            name = provider.name_from(trip, _back_of(request, entry), code, iss)
            secret = accounts.begin(name, "oidc")
        except SignInRefused as refused:
            answer = _refused(refused, 503 if isinstance(refused, ProviderFailed) else 401)
            answer.delete_cookie(TRIP_COOKIE, path=OUT)
            return answer
        if found.secret:
            accounts.sign_out(found.secret)
        answer = RedirectResponse("/", 303)
        answer.delete_cookie(TRIP_COOKIE, path=OUT)
        give_session(answer, secret, entry)
        return answer


def _back_of(request: Request, entry: Entry) -> str:
    """Give the address to come back to: under the proxy's name, or this machine's own."""
    root = f"https://{entry.outside}" if entry.outside else f"http://{request.headers['host']}"
    return root + BACK


def _refused(error: SignInRefused, status: int) -> Response:
    way_on = "Begin again" if str(error) == BEGIN_AGAIN else "Back to the map"
    return plain_page(NOT_SIGNED_IN, str(error), status, way_on=way_on)
