"""The service with people who sign in: clients of it, each a browser of its own."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.desk.accounts import Accounts
from slackwater.desk.working import Working
from tests.contracts.small_register import HERE

PASSWORDS = {
    "ada": "heron stands by the weir",
    "grace": "kingfisher over slow water",
    "vera": "reeds bend in the evening",
    "root": "otter slides down the bank",
}
ROLES = {"ada": ["lead"], "grace": ["scientist"], "vera": ["viewer"], "root": ["admin"]}


class Service:
    """One service over a database whose people are ada (lead), grace, vera and root (admin)."""

    def __init__(self, working: Working, **entry: Any) -> None:
        self.accounts = Accounts(working.register)
        if not self.accounts.people():
            for name, roles in ROLES.items():
                self.accounts.add_person(name, roles, PASSWORDS[name], "test")
        self.app = create_app(working, Entry(accounts=self.accounts, **entry))
        self.here = f"https://{entry['outside']}" if entry.get("outside") else HERE

    def browser(self, name: str = "", **headers: str) -> Browser:
        """Give a browser, somebody signed in with it where a name is given."""
        browser = Browser(self.app, base_url=self.here, headers=headers, follow_redirects=False)
        if name:
            assert browser.sign_in(name).status_code == 200
        return browser


class Browser(TestClient):
    """A client that keeps its cookies and sends the token that a page sends with changes."""

    def sign_in(self, name: str, password: str = "") -> Any:
        """Sign in; what the answer gives for changes is sent from now on."""
        body = {"name": name, "password": password or PASSWORDS[name]}
        answer = self.post("/api/sign-in", json=body)
        if answer.status_code == 200:
            self.headers["X-Slackwater-Csrf"] = answer.json()["csrf"]
        return answer

    def me(self) -> dict[str, Any]:
        """Say who this is."""
        answer: dict[str, Any] = self.get("/api/me").json()
        return answer
