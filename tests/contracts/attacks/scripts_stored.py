"""An agency in which scripts and formulas stand wherever people can write anything."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from shapely import Point

from slackwater.desk.exporting import export_database
from slackwater.people.roles import Role
from slackwater.store.field_book import FieldBook
from tests.catchment.small import Small, small
from tests.contracts.roles_served import RolesServed
from tests.contracts.small_register import ended, new_id, shown, working_on
from tests.contracts.with_accounts import Browser
from tests.store.field.at_pump import Phone, a_run

SCRIPTS = (
    "<script>window.pwned=1</script>",
    "<img src=x onerror=window.pwned=1>",
    "\"'><svg onload=window.pwned=1>",
    "</script></style></textarea><script>window.pwned=1</script>",
    "<iframe srcdoc='<script>parent.pwned=1</script>'>",
)
FORMULAS = (
    '=HYPERLINK("http://evil.example.invalid","pwned")',
    "+1+cmd|' /C calc'!A0",
    "@SUM(1,1)",
    "-2+3",
    "=1+1",
)
MIXED = (*SCRIPTS, *FORMULAS, "{{constructor.constructor('window.pwned=1')()}}",
         "${window.pwned=1}",
         "javascript:window.pwned=1", "&lt;script&gt;window.pwned=1&lt;/script&gt;")  # fmt: skip
NAME = SCRIPTS[1]
"""Of a case, a person, a run, a token."""


@dataclass
class Stored:
    """The service, and where in it the attacker wrote."""

    service: RolesServed
    file: Path
    case: str = ""
    link: str = ""
    run: str = ""

    def exported(self, out: Path) -> Path:
        """Write the register into a file."""
        export_database(f"sqlite:///{self.file}", out)
        return out


def hostile() -> Small:
    """Write into every text of the small catchment that anybody is shown."""
    of = small()
    number = 0
    for table, columns in (
        ("offtakes", ("label", "landholder", "licence", "contact", "source", "district")),
        ("places", ("name",)), ("reaches", ("name",)), ("gauges", ("name",)),
        ("guilds", ("name", "species", "source")), ("options", ("name", "source")),
        ("weirs", ("name", "source")), ("prices", ("source",)), ("production", ("source",)),
    ):  # fmt: skip
        if table not in of.tables:
            continue
        for row in range(len(of.tables[table].rows)):
            for column in columns:
                of.set(table, row, column, MIXED[number % len(MIXED)])
                number += 1
    of.set("places", 0, "size", "4")
    of.set("places", 0, "geometry", Point(10.1, 50.005))
    of.settings["name"] = SCRIPTS[0]
    of.settings["currency"] = "<b>$"
    return of


@contextmanager
def stored(folder: Path) -> Iterator[Stored]:
    """Serve it, with cases, offers, runs, people and tokens called likewise."""
    file = folder / "hostile.sqlite"
    working = working_on(hostile().raw(), file)
    service = RolesServed(working, public_map=True)
    try:
        made = Stored(service, file)
        service.accounts.add_person(NAME, ["field"], None, "test")
        service.accounts.make_token("lead person", NAME, "read", 9)
        _write(made, service.caller(Role.LEAD))
        yield made
        service.app.state.uploads.close()
    finally:
        working.close()


def _write(made: Stored, lead: Browser) -> None:
    change = {"table": "offtakes", "key": "A", "column": "contact", "new": SCRIPTS[2]}
    change["old"] = lead.get("/api/rows/offtakes/A").json()["cells"]["contact"]
    edit = {"id": new_id(), "changes": [change], "why": SCRIPTS[3], "source": FORMULAS[0]}
    answer = lead.post("/api/edits", json=edit)
    assert answer.status_code == 200, answer.text
    shown(lead, answer.json()["revision"])
    offer = {
        "id": new_id(),
        "code": "A",
        "step": "offered",
        "on": "2026-01-05",
        "words": SCRIPTS[0],
    }
    answer = lead.post("/api/offers", json=offer)
    assert answer.status_code == 200, answer.text
    shown(lead, answer.json()["revision"])
    trial = {"weights": {"risk": 500, "overlap": 200, "cost": 300}, "budget": 1e6, "way": "best",
             "kept_in": {"A": SCRIPTS[4]}, "left_out": {"B": FORMULAS[1]}}  # fmt: skip
    name = f'{NAME}\\..\\..//"; filename=evil.exe; x="'
    body = {"id": new_id(), "name": name, "note": SCRIPTS[3], "trial": trial}
    work = ended(lead, "/api/cases", body)
    assert work["state"] == "done", work
    made.case = str(body["id"])
    assert lead.post(f"/api/cases/{made.case}/share").status_code == 200
    link = lead.post(f"/api/cases/{made.case}/links", json={"days": 7}).json()
    made.link = link["address"].rpartition("/")[2]
    book = FieldBook(made.service.working.register)
    made.run = book.put_run(a_run("A", officer="field person", name=NAME)).id
    note = Phone(made.run).write("A", "remark", SCRIPTS[0])
    assert lead.post("/api/notes", json={"notes": [note]}).json()["kept"] == [note["id"]]
