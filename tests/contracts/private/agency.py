"""A whole agency at work, a secret in everything that people write or name, and who may read it.

What stands in columns is planted by `tests.contracts.seeded`; here come history, offers, cases,
runs, notes, people, tokens and links.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from slackwater.api.meeting_limits import MeetingLimits
from slackwater.catchment.fields import Visibility
from slackwater.desk.visibility import Viewer, sees
from slackwater.people.roles import Role
from slackwater.store.field_book import FieldBook
from tests.contracts.roles_served import PEOPLE, RolesServed
from tests.contracts.seeded import NUMBERS, Secrets, numbers_from, seeded_small, unlike
from tests.contracts.small_register import ended, new_id, shown, working_on
from tests.contracts.with_accounts import Browser
from tests.files.photos import jpeg
from tests.store.field.at_pump import Phone, a_run

LEAD, FIELD, ADMIN = frozenset({Role.LEAD}), frozenset({Role.FIELD}), frozenset({Role.ADMIN})
BIOLOGIST = frozenset({Role.SCIENTIST})
AGENCY = frozenset({Role.VIEWER, Role.FIELD, Role.SCIENTIST, Role.LEAD})
COMMITTED = 77123.41
WRITTEN: dict[str, frozenset[Role]] = {
    "SECRET why of the intake": LEAD,
    "SECRET landholder since": LEAD | FIELD,
    "SECRET why of the fish": LEAD | BIOLOGIST,
    "SECRET words of an offer": LEAD,
    "SECRET name of a case for us": LEAD,
    "SECRET note of a case for us": LEAD,
    "SECRET reason of a case for us": LEAD,
    "SECRET note of the shared case": AGENCY,
    "SECRET reason of the shared case": AGENCY,
    "SECRET run of one's own": LEAD | FIELD,
    "SECRET note of one's own": LEAD | FIELD,
    "SECRET run of another": LEAD,
    "SECRET note of another": LEAD,
    "SECRET refusal": LEAD,
    "SECRET words beside a place": frozenset(),  # for whoever has the meeting's key
    "SECRET person": LEAD | ADMIN,
    "SECRET token of the admin": ADMIN,
    "lead person": AGENCY | ADMIN,
}
"""What somebody wrote or is called -> the roles that may read it."""
MARKED = "SECRET words beside a place"
OWN_STOP = 0
"""The row at which the field officer's own run stops; there they see whom to ring."""


def let_guess(patch: pytest.MonkeyPatch) -> None:
    """Let an address name as many meetings, and have as many phones join, as it likes."""
    for what in ("count_wrong_code", "require_no_guesser", "count_join", "count_look"):
        patch.setattr(MeetingLimits, what, lambda *_: None)


@dataclass
class Agency:
    """The service, what is where in it, and what is closed to whom.

    Attributes
    ----------
    ids : what a parameter of this name can be -> values that stand for something here.
    key : of the meeting that is on.
    """

    service: RolesServed
    closed: dict[Viewer, Secrets]
    ids: dict[str, list[str]] = field(default_factory=dict)
    key: str = ""

    def closed_to(self, role: Role) -> Secrets:
        """Give all of the columns that a role may not see."""
        if role is Role.LEAD:
            return Secrets()
        agency = role in (Role.VIEWER, Role.FIELD, Role.SCIENTIST)
        return self.closed[Viewer.AGENCY if agency else Viewer.PUBLIC]

    def own_stop(self) -> Secrets:
        """Give what the field officer sees of the own stop alone."""
        return Secrets(numbers=[values[OWN_STOP] for values in NUMBERS.values()])


def closed_of(planted: dict[Visibility, Secrets], made: dict[Visibility, list[float]]) -> Any:
    """Give what is closed to each viewer but the lead."""
    return {
        viewer: Secrets(
            [text for each in hidden for text in planted[each].texts],
            [number for each in hidden for number in planted[each].numbers + unlike(made[each])]
            + [COMMITTED],
            [flow for each in hidden for flow in planted[each].flows],
            [place for each in hidden for place in planted[each].places],
            [name for each in hidden for name in planted[each].columns],
        )
        for viewer in (Viewer.PUBLIC, Viewer.AGENCY)
        for hidden in [[each for each in planted if not sees(viewer, each)]]
    }


@contextmanager
def agency(folder: Path) -> Iterator[Agency]:
    """Serve the seeded catchment with everything that an agency writes in a year."""
    of, planted = seeded_small()
    working = working_on(of.raw(), folder / "agency.sqlite")
    service = RolesServed(working, public_map=True)
    service.app.state.leaving = lambda: True  # so that no stream of news goes on
    try:
        made = Agency(service, {})
        _fill(made, service.caller(Role.LEAD))
        made.closed = closed_of(planted, numbers_from(working.of().view))
        yield made
        service.app.state.uploads.close()
    finally:
        working.close()


def _fill(made: Agency, lead: Browser) -> None:
    edits = [_edit(lead, "guilds", "species", "cod", "SECRET why of the fish")]
    edits += [_edit(lead, "offtakes", "landholder", "SECRET landholder since",
                    "SECRET why of the intake")]  # fmt: skip
    offer = {"id": new_id(), "code": "A", "step": "offered", "on": "2026-01-05",
             "committed": COMMITTED, "words": "SECRET words of an offer"}  # fmt: skip
    answer = lead.post("/api/offers", json=offer)
    assert answer.status_code == 200, answer.text
    shown(lead, answer.json()["revision"])
    cases = [_case(lead, "for us", "SECRET name of a case for us"),
             _case(lead, "shared", "A round for everyone")]  # fmt: skip
    assert lead.post(f"/api/cases/{cases[1]}/share").status_code == 200
    link = lead.post(f"/api/cases/{cases[1]}/links", json={"days": 7}).json()
    made.ids = {
        "code": ["A", "B", "C"], "guild": ["perch"], "case_id": cases, "edit_id": edits,
        "link_id": [link["id"]], "secret": [link["address"].rpartition("/")[2], "none"],
        "name": [*PEOPLE, "SECRET person"], **_people(made.service),
        "reach": ["up", "mid"], "gauge": ["g1"],
    }  # fmt: skip
    made.ids |= _field_work(made.service)
    made.ids |= _meetings(made, lead, cases[1])


def _edit(lead: Browser, table: str, column: str, new: str, why: str) -> str:
    key = "A" if table == "offtakes" else lead.get("/api/catchment").json()["guilds"][0]["guild_id"]
    old = lead.get(f"/api/rows/{table}/{key}").json()["cells"][column]
    change = {"table": table, "key": key, "column": column, "old": old, "new": new}
    body = {"id": new_id(), "changes": [change], "why": why, "source": f"{why}, its source"}
    answer = lead.post("/api/edits", json=body)
    assert answer.status_code == 200, answer.text
    shown(lead, answer.json()["revision"])
    return str(body["id"])


def _case(lead: Browser, whose: str, name: str) -> str:
    words = "the shared case" if whose == "shared" else "a case for us"
    trial = {"weights": {"risk": 500, "overlap": 200, "cost": 300}, "budget": 1e6, "way": "best",
             "kept_in": {"A": f"SECRET reason of {words}"}}  # fmt: skip
    body = {"id": new_id(), "name": name, "note": f"SECRET note of {words}", "trial": trial}
    work = ended(lead, "/api/cases", body)
    assert work["state"] == "done", work
    return str(body["id"])


def _people(service: RolesServed) -> dict[str, list[str]]:
    service.accounts.add_person("SECRET person", ["field"], None, "test")
    token = service.accounts.make_token("admin person", "SECRET token of the admin", "read", 9)
    return {"token_id": [token["id"]]}


def _meetings(made: Agency, lead: Browser, case_id: str) -> dict[str, list[str]]:
    """Hold a meeting on the shared case that is closed, and one that is on."""
    opened = [
        lead.post("/api/meetings", json={"case_id": case_id, "hours": 2}).json() for _ in range(2)
    ]
    for each in opened:
        hold_meeting(made.service.browser(), each["code"], each["key"])
    assert lead.delete(f"/api/meetings/{opened[0]['code']}").status_code == 204
    made.key = opened[1]["key"]
    return {"meeting_code": [opened[1]["code"], opened[0]["code"], "K7R M4P"]}


def hold_meeting(hall: Browser, code: str, key: str) -> None:
    """Have phones weigh and mark places, and the facilitator go through it all."""
    at = f"/api/meet/{code}"
    for group, levels in (("angler", {"risk": 9, "overlap": 1, "cost": 0}),
                          ("council", {"risk": 1, "overlap": 9, "cost": 2}),
                          ("angler", {"risk": 3, "overlap": 1, "cost": 2}),
                          ("", {"risk": 2, "overlap": 0, "cost": 7}),
                          ("", {"risk": 0, "overlap": 0, "cost": 5})):  # fmt: skip
        phone = {"X-Slackwater-Phone": hall.post(f"{at}/join").json()["phone"]}
        body = {"levels": levels, "group": group}
        assert hall.put(f"{at}/mine", json=body, headers=phone).status_code == 200
        places = {"places": [{"x": 20, "y": 20, "words": MARKED}]}
        assert hall.put(f"{at}/mine/places", json=places, headers=phone).status_code == 204
    for what, said in (("step", {"step": "room"}), ("trial", {"shown": True}),
                       ("agreed", {"what": "trial", "words": "Start here.", "left_open": "Who?",
                                   "seen": 0}),
                       ("step", {"step": "choice"})):  # fmt: skip
        answer = hall.put(f"{at}/lead/{what}", json=said, headers={"X-Slackwater-Key": key})
        assert answer.status_code == 200, answer.text


def _field_work(service: RolesServed) -> dict[str, list[str]]:
    book = FieldBook(service.working.register)
    runs = [
        book.put_run(a_run(*codes, officer=officer, name=f"SECRET run of {whose}")).id
        for officer, codes, whose in (("field person", "A", "one's own"),
                                      ("SECRET person", "BC", "another"))
    ]  # fmt: skip
    lead, notes = service.caller(Role.LEAD), []
    for run, code, whose in ((runs[0], "A", "one's own"), (runs[1], "C", "another")):
        note = Phone(run).write(code, "remark", f"SECRET note of {whose}")
        poor = Phone(run).write(code, "access", "good")
        told = lead.post("/api/notes", json={"notes": [note, poor]}).json()
        assert told["kept"] == [note["id"], poor["id"]], told
        notes += [note["id"], poor["id"]]
    refused = {"id": new_id(), "note_ids": [notes[3]], "why": "SECRET refusal"}
    left = lead.post("/api/proposals/refuse", json=refused)
    assert left.status_code == 200, left.text
    photo = new_id()
    put = f"/api/photos/{photo}?note={notes[2]}"
    sent = lead.put(put, content=jpeg(), headers={"Content-Type": "image/jpeg"})
    assert sent.status_code == 200, sent.text
    return {"run_id": runs, "note_id": notes, "photo_id": [photo]}
