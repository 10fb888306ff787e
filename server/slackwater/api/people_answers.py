"""People at the web door: listed, added, changed, taken away (least role: admin)."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI

from slackwater.api import answers
from slackwater.api.least_role import least
from slackwater.api.own_account import AccountsHere, Person
from slackwater.people.roles import Least


def answer_people(app: FastAPI) -> None:
    """Add the endpoints of people; only whoever signed in themselves changes anything."""

    @app.get("/api/people", response_model=answers.People, **least(Least.ADMIN))
    def listed(accounts: AccountsHere) -> Any:
        """Everybody with an account."""
        return {"people": accounts.people()}

    @app.post("/api/people", response_model=answers.PersonAnswer, **least(Least.ADMIN))
    def add(accounts: AccountsHere, person: Person, asked: answers.PersonAsked) -> Any:
        """Give somebody an account."""
        return accounts.add_person(asked.name, asked.roles, asked.password, person.name)

    @app.post("/api/people/{name}", response_model=answers.PersonAnswer, **least(Least.ADMIN))
    def change(
        accounts: AccountsHere, _: Person, name: answers.ShortText, asked: answers.PersonChangeAsked
    ) -> Any:
        """Change roles, lock or unlock, or give a new password; what is not named stays."""
        return accounts.change_person(
            name, roles=asked.roles, locked=asked.locked, password=asked.password
        )

    @app.delete("/api/people/{name}", status_code=204, **least(Least.ADMIN))
    def remove(accounts: AccountsHere, _: Person, name: answers.ShortText) -> None:
        """Take an account away; what was edited under its name stays."""
        accounts.remove_person(name)
