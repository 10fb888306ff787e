"""Are there accounts here, and does a person call or a program in their place?"""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

from slackwater.api.calling import FoundHere, Way
from slackwater.desk.accounts import Accounts
from slackwater.errors import NotAllowed, NotHere
from slackwater.people.roles import Caller

NO_ACCOUNTS = "there are no accounts here; slackwater serve --accounts brings them"
NOT_BY_TOKEN = "a token opens no account and makes no token: sign in with a browser"  # noqa: S105


def _accounts(request: Request) -> Accounts:
    accounts: Accounts | None = request.app.state.accounts
    if accounts is None:
        raise NotHere(NO_ACCOUNTS)
    return accounts


AccountsHere = Annotated[Accounts, Depends(_accounts)]
"""The accounts; 404 where there are none."""


def _person(found: FoundHere, _: AccountsHere) -> Caller:
    if found.way not in (Way.SESSION, Way.HEADER):
        raise NotAllowed(NOT_BY_TOKEN)
    return found.caller


Person = Annotated[Caller, Depends(_person)]
"""Whoever signed in themselves; a token, which others may hold, cannot make itself last."""
