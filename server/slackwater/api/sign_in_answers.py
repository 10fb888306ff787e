"""Signing in and out with a password, changing it, and who is signed in.

Held to: OWASP ASVS 4.0.3, 2.1.5 and 2.1.6 (a password is changed by whoever knows it), 2.2.1 (tries
are limited; see the desk), 3.2.1 (a new session at every sign-in), 3.3.1 (signing out ends it),
3.3.3 (a new password ends the other sessions), 3.7.1 (both asked anew for it).
"""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request, Response

from slackwater.api import answers
from slackwater.api.calling import Found, FoundHere, Way, cookie_in, csrf_token
from slackwater.api.entry import Entry
from slackwater.api.least_role import least
from slackwater.api.looking import viewer_of
from slackwater.api.own_account import AccountsHere, Person
from slackwater.api.session_cookie import give_session, take_session
from slackwater.errors import SignInRefused
from slackwater.people.roles import Least


def answer_sign_in(app: FastAPI) -> None:
    """Add the endpoints of signing in and out, and of one's own password."""
    entry: Entry = app.state.entry

    @app.get("/api/me", response_model=answers.Me, **least(Least.ANYONE))
    def me(found: FoundHere, request: Request) -> Any:
        """Who asks, which columns they see, and how they may sign in."""
        ended = not found.caller.name and bool(cookie_in(request.headers))
        return told_of(found, entry, ended=ended and entry.accounts is not None)

    @app.post("/api/sign-in", response_model=answers.Me, **least(Least.ANYONE))
    def sign_in(
        accounts: AccountsHere, found: FoundHere, asked: answers.SignInAsked, response: Response
    ) -> Any:
        """Sign in with name and password; the session travels in a cookie, always a new one."""
        secret = accounts.sign_in(asked.name, asked.password)
        if found.secret:
            accounts.sign_out(found.secret)
        caller = accounts.of_session(secret)
        if caller is None:  # locked this very moment
            raise SignInRefused("this name and password do not open an account here")
        give_session(response, secret, entry)
        return told_of(Found(caller, Way.SESSION, secret), entry)

    @app.post("/api/sign-out", status_code=204, **least(Least.ANYONE))
    def sign_out(found: FoundHere, response: Response) -> None:
        """End the session, here and in the browser."""
        if found.secret and entry.accounts is not None:
            entry.accounts.sign_out(found.secret)
        take_session(response, entry)

    @app.post("/api/password", status_code=204, **least(Least.SIGNED_IN))
    def password(
        accounts: AccountsHere, person: Person, found: FoundHere, asked: answers.PasswordAsked
    ) -> None:
        """Change one's own password; every other session of one's own ends."""
        accounts.change_password(person.name, asked.old, asked.new, keeping=found.secret)


def told_of(found: Found, entry: Entry, *, ended: bool = False) -> dict[str, Any]:
    """Give what the page needs to know of whoever asks.

    Parameters
    ----------
    ended : whether their browser still holds a session that is over; an open map would not say so.
    """
    caller = found.caller
    return {
        "accounts": entry.accounts is not None,
        "name": caller.name,
        "roles": sorted(caller.roles),
        "viewer": viewer_of(caller).value,
        "csrf": csrf_token(found),
        "ways": entry.ways,
        "public_map": entry.public_map,
        "ended": ended,
    }
