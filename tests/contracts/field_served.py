"""A service with people, two field officers among them, each with a run of their own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slackwater.desk.working import Working
from slackwater.store.field_book import FieldBook
from tests.catchment.small import small
from tests.contracts.small_register import working_on
from tests.contracts.small_view import QUOTE, SECRETS
from tests.contracts.with_accounts import PASSWORDS, Browser, Service
from tests.store.field.at_pump import Phone, a_run

OFFICERS = {"kim": "rushes hide the landing", "lee": "gravel under fast water"}


@dataclass
class Field:
    """kim's run stops at A and B, lee's at B and C; ada is the lead."""

    service: Service
    working: Working
    kims: str
    lees: str

    def browser(self, name: str) -> Browser:
        """Give somebody's browser, signed in."""
        browser = self.service.browser()
        told = browser.sign_in(name, OFFICERS.get(name) or PASSWORDS[name])
        assert told.status_code == 200, told.text
        return browser

    @property
    def book(self) -> FieldBook:
        """The field book."""
        return FieldBook(self.working.register)

    def noted(self, name: str, run_id: str, code: str, of: str, typed: str) -> dict[str, Any]:
        """Have somebody write a note into a run; it must be kept."""
        note = Phone(run_id).write(code, of, typed)
        told = self.browser(name).post("/api/notes", json={"notes": [note]}).json()
        assert told["kept"] == [note["id"]], told
        return note


@contextmanager
def field_served(folder: Path) -> Iterator[Field]:
    """Serve the small catchment, secrets planted on B, with its people."""
    of = small()
    for column, secret in SECRETS.items():
        of.set("offtakes", 1, column, secret)
    of.set("offtakes", 1, "quote", QUOTE)
    working = working_on(of.raw(), folder / "field.sqlite")
    try:
        service = Service(working)
        for name, password in OFFICERS.items():
            service.accounts.add_person(name, ["field"], password, "test")
        book = FieldBook(working.register)
        runs = [
            book.put_run(a_run(*codes, officer=officer, name=f"{officer}'s run")).id
            for officer, codes in (("kim", "AB"), ("lee", "BC"))
        ]
        yield Field(service, working, *runs)
        service.app.state.uploads.close()
    finally:
        working.close()
