"""One's own tokens at the web door: by which a desktop GIS or a program calls in one's place."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI

from slackwater.api import answers
from slackwater.api.least_role import least
from slackwater.api.own_account import AccountsHere, Person
from slackwater.people.roles import Least


def answer_tokens(app: FastAPI) -> None:
    """Add the endpoints of tokens, for whoever signed in themselves."""

    @app.get("/api/tokens", response_model=answers.Tokens, **least(Least.SIGNED_IN))
    def listed(accounts: AccountsHere, person: Person) -> Any:
        """One's own tokens, without what they are known by."""
        return {"tokens": accounts.tokens_of(person.name)}

    @app.post("/api/tokens", response_model=answers.TokenMade, **least(Least.SIGNED_IN))
    def make(accounts: AccountsHere, person: Person, asked: answers.TokenAsked) -> Any:
        """Make a token; its secret is told in this answer and never again."""
        return accounts.make_token(person.name, asked.title, asked.scope, asked.days)

    @app.delete("/api/tokens/{token_id}", status_code=204, **least(Least.SIGNED_IN))
    def end(accounts: AccountsHere, person: Person, token_id: answers.ShortText) -> None:
        """End one of one's own tokens."""
        accounts.drop_token(person.name, token_id)
