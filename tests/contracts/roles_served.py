"""The small catchment with somebody of every role, each with a browser that is signed in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from slackwater.desk.working import Working
from slackwater.people.roles import ANYONE_MAY_HOLD, Role
from tests.catchment.small import Small, small
from tests.contracts.small_register import ended, new_id, working_on
from tests.contracts.with_accounts import Browser, Service

PASSWORD = "slow water under willows"
PEOPLE = {f"{role.value} person": [role.value] for role in sorted(ANYONE_MAY_HOLD)}
BUDGET = 1e6


class RolesServed(Service):
    """A service whose people are one of each role, and who sign in without a password."""

    def __init__(self, working: Working, **entry: Any) -> None:
        super().__init__(working, **entry)
        self.working = working
        names = {each["name"] for each in self.accounts.people()}
        for name, roles in PEOPLE.items():
            if name not in names:
                self.accounts.add_person(name, roles, None, "test")

    def caller(self, role: Role | None, **headers: str) -> Browser:
        """Give a browser of somebody with one role; the public and None have no account."""
        browser = self.browser(**headers)
        if role and role is not Role.PUBLIC:
            secret = self.accounts.begin(f"{role.value} person", "header")
            browser.cookies.set("slackwater", secret)
            browser.headers["X-Slackwater-Csrf"] = browser.me()["csrf"]
        return browser

    def token(self, role: Role, scope: str = "read") -> Browser:
        """Give a program that calls with a token of somebody with one role."""
        made = self.accounts.make_token(f"{role.value} person", "a script", scope, 30)
        return self.browser(authorization=f"Bearer {made['secret']}")

    def case(self, lead: Browser, *, shared: bool) -> str:
        """Save a case, shared or not, and give its id."""
        told = lead.get("/api/catchment").json()
        weights = {each["name"]: 0 for each in told["criteria"]}
        weights[next(iter(weights))] = 1000
        trial = {"weights": weights, "budget": BUDGET, "way": "score"}
        body = {"id": new_id(), "name": "Round one", "note": "for us alone", "trial": trial}
        work = ended(lead, "/api/cases", body)
        assert work["state"] == "done", work
        if shared:
            assert lead.post(f"/api/cases/{body['id']}/share").status_code == 200
        return str(body["id"])


@contextmanager
def roles_served(folder: Path, of: Small | None = None, **entry: Any) -> Iterator[RolesServed]:
    """Serve the small catchment with accounts."""
    working = working_on((of or small()).raw(), folder / "roles.sqlite")
    try:
        yield RolesServed(working, **entry)
    finally:
        working.close()
